"""How long is a dance, and where does quick time begin?

Length = introduction + opening + steps x bars a step, never parts of the tune: what a "part" is
differs from author to author. A step is what the dancers count: a Highland step, a part of reel in
a Tulloch, one turn of a country dance. A dance has one tempo or two, slow then quick; the
introduction goes at the first. Tempo is in felt beats a minute and says little without the beats
of a bar: a strathspey at 60 of two to a bar and at 120 of four are the same speed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from fractions import Fraction
from itertools import pairwise

from planner.errors import RequestError
from planner.event.amounts import not_negative, plain, positive
from planner.rules.rulebook import Quantity, RuleBook, Status

MOST_STEPS = 1000
"""How many steps are a slip of the pen? No dance comes near."""


@dataclass(frozen=True, slots=True)
class DanceTempo:
    """One tempo of a dance: the tune type, its beats a bar, bars a step, and usual tempo.

    ``name`` is ``slow`` or ``quick`` in a dance of two tempos and empty in a dance of one. None
    where nothing is on record.
    """

    name: str
    tune_type: str
    beats_per_bar: Quantity | None
    bars_per_step: Quantity
    tempo: Quantity | None


@dataclass(frozen=True, slots=True)
class Dance:
    """A dance on record. ``usual_steps`` holds the usual numbers, one for each tempo.

    ``opening`` are bars danced once before the first step. ``name`` is in lower case with hyphens.
    """

    name: str
    title: str
    tempos: tuple[DanceTempo, ...]
    introduction: Quantity
    usual_steps: tuple[tuple[int, ...], ...] = ()
    opening: int = 0


@dataclass(frozen=True, slots=True)
class DanceLength:
    """The length of a dance. ``bars`` count the introduction; ``quick_from_bar`` does not.

    ``shortest_s`` and ``longest_s`` are the length at the tolerance on the tempo, either way.
    """

    name: str
    bars: int
    introduction_bars: int
    length: Fraction
    quick_from_bar: int | None
    shortest_s: float
    longest_s: float

    @property
    def seconds(self) -> float:
        """Seconds from the first beat of the introduction to the last bar's end."""
        return float(self.length)


def dance_length(
    dance: Dance,
    steps: Sequence[int],
    tempos_bpm: Sequence[float],
    rulebook: RuleBook,
    introduction: int | None = None,
) -> DanceLength:
    """Bars and seconds of a dance, introduction included, and the first bar of quick time.

    Raises:
        RequestError: steps or tempos that do not fit the dance, no tempo, beats a bar unknown.
    """
    check_steps(dance, steps)
    _check_tempos(dance, tempos_bpm)
    bars = [count * bars_in_a_step(tempo) for count, tempo in zip(steps, dance.tempos, strict=True)]
    bars[0] += dance.opening
    before = _introduction(dance, introduction)
    played = [before + bars[0], *bars[1:]]
    stretches = zip(dance.tempos, played, tempos_bpm, strict=True)
    length = sum((_seconds(dance, *stretch) for stretch in stretches), Fraction(0))
    tolerance = Fraction(str(rulebook.number("drill.tempo.dance_tolerance")))
    return DanceLength(
        name=dance.name,
        bars=sum(played),
        introduction_bars=before,
        length=length,
        quick_from_bar=bars[0] + 1 if len(bars) > 1 else None,
        shortest_s=float(length / (1 + tolerance)),
        longest_s=float(length / (1 - tolerance)),
    )


def dance_beats(dance: Dance, steps: Sequence[int]) -> Fraction:
    """Felt beats of a dance without its introduction, both tempos together.

    Raises:
        RequestError: steps that do not fit the dance, beats a bar unknown.
    """
    check_steps(dance, steps)
    opening = dance.opening * _beats(dance, dance.tempos[0])
    pairs = zip(steps, dance.tempos, strict=True)
    return opening + sum(
        count * bars_in_a_step(tempo) * _beats(dance, tempo) for count, tempo in pairs
    )


def introduction_in_beats(dance: Dance) -> Fraction | None:
    """Felt beats of the usual introduction, None where the beats of a bar are not on record."""
    beats = dance.tempos[0].beats_per_bar
    return None if beats is None else _number(dance.introduction) * _number(beats)


def find_dance(name: str, rulebook: RuleBook) -> Dance:
    """The dance of a name; capitals, spaces and underscores are forgiven.

    Raises:
        RequestError: no such dance; the sentence offers the nearest names.
    """
    key = name.strip().lower().replace(" ", "_").replace("-", "_")
    known = rulebook.names("dances")
    if key not in known:
        near = get_close_matches(key, known, n=3, cutoff=0.5)
        offer = " or ".join(each.replace("_", "-") for each in near) or "one of the list"
        raise RequestError("dance", f"there is no dance {name!r} on record", f"choose {offer}")
    return _dance(key, rulebook)


def all_dances(rulebook: RuleBook) -> tuple[Dance, ...]:
    """Every dance on record, by name."""
    return tuple(_dance(key, rulebook) for key in sorted(rulebook.names("dances")))


def with_own_bars(
    dance: Dance, *, bars_per_step: int | None = None, beats_per_bar: int | None = None
) -> Dance:
    """The dance with the caller's own bars a step (48 for a longer turn) or beats a bar."""
    changed = dance.tempos
    if bars_per_step is not None:
        positive("bars a step", bars_per_step, "a whole number, such as 32")
        changed = tuple(
            replace(each, bars_per_step=replace(each.bars_per_step, value=bars_per_step))
            for each in changed
        )
    if beats_per_bar is not None:
        positive("beats a bar", beats_per_bar, "a whole number, such as 2")
        given = Quantity("beats a bar", beats_per_bar, "beats", "", Status.OWN)
        changed = tuple(replace(each, beats_per_bar=given) for each in changed)
    return replace(dance, tempos=changed)


def read_steps(text: str) -> tuple[tuple[int, ...], int | None]:
    """Steps as people write them: ``6``, ``3+1``, or ``8x32`` with the bars of a turn.

    Raises:
        RequestError: anything else.
    """
    turns, times, bars = text.lower().replace(" ", "").partition("x")
    numbers = turns.split("+")
    is_right = all(number.isascii() and number.isdigit() for number in numbers)
    if not is_right or (times and not (bars.isascii() and bars.isdigit())):
        raise RequestError("steps", f"{text!r} is no number of steps", "give 6, 3+1 or 8x32")
    return tuple(int(number) for number in numbers), int(bars) if times else None


def bars_in_a_step(tempo: DanceTempo) -> int:
    """Bars of one step at this tempo of the dance."""
    return int(_number(tempo.bars_per_step))


def bars_a_minute(dance: Dance, tempo_bpm: float) -> Fraction:
    """Bars a minute of a tempo, as country dancers speak of it: 116 at two to a bar is 58."""
    return positive("tempo", tempo_bpm, _example(dance)) / _beats(dance, dance.tempos[0])


def tempo_of_bars(dance: Dance, bars_per_minute: float) -> Fraction:
    """The tempo in felt beats of so many bars a minute."""
    speed = positive("bars a minute", bars_per_minute, "bars a minute, such as 58")
    return speed * _beats(dance, dance.tempos[0])


def is_ordered_by_category(tempos_bpm: Sequence[float]) -> bool:
    """True when the tempo never rises from the lowest category to the highest.

    Stronger dancers want a slower tune. Source: highland_dancing_list.
    """
    return all(lower >= higher for lower, higher in pairwise(tempos_bpm))


def _dance(key: str, rulebook: RuleBook) -> Dance:
    prefix = f"dances.{key}"
    is_double = rulebook.find(f"{prefix}.slow.bars_per_step") is not None
    names = ("slow", "quick") if is_double else ("",)
    steps = rulebook.find(f"{prefix}.steps")
    opening = rulebook.find(f"{prefix}.opening")
    return Dance(
        name=key.replace("_", "-"),
        title=rulebook.word(f"{prefix}.title"),
        tempos=tuple(_tempo(prefix, name, rulebook) for name in names),
        introduction=rulebook[f"{prefix}.introduction"],
        usual_steps=tuple(read_steps(str(each))[0] for each in _listed(steps)),
        opening=int(_number(opening)) if opening else 0,
    )


def _tempo(prefix: str, name: str, rulebook: RuleBook) -> DanceTempo:
    place = f"{prefix}.{name}" if name else prefix
    tune_type = rulebook.find(f"{place}.tune_type")
    return DanceTempo(
        name=name,
        tune_type=str(tune_type.value) if tune_type else "",
        beats_per_bar=rulebook.find(f"{place}.beats_per_bar"),
        bars_per_step=rulebook[f"{place}.bars_per_step"],
        tempo=rulebook.find(f"{place}.tempo"),
    )


def _listed(rule: Quantity | None) -> tuple[float | int | str, ...]:
    return rule.value if rule is not None and isinstance(rule.value, tuple) else ()


def _number(rule: Quantity) -> Fraction:
    return Fraction(str(rule.value))


def check_steps(dance: Dance, steps: Sequence[int]) -> None:
    """Stop at steps that the dance does not have.

    Raises:
        RequestError: one number for two tempos or the other way round, or too few or too many.
    """
    wanted = "slow and quick steps, such as 3+1" if len(dance.tempos) > 1 else "one number of steps"
    if len(steps) != len(dance.tempos):
        given = "+".join(map(str, steps)) or "nothing"
        raise RequestError("steps", f"{dance.title} takes {wanted}, not {given}", "mend the steps")
    is_sane = all(0 <= count <= MOST_STEPS for count in steps) and sum(steps) > 0
    if not is_sane:
        raise RequestError(
            "steps", f"{'+'.join(map(str, steps))} cannot be danced", f"give {wanted}"
        )


def _check_tempos(dance: Dance, tempos_bpm: Sequence[float]) -> None:
    needed = len(dance.tempos)
    if len(tempos_bpm) != needed:
        problem = f"{dance.title} has {needed} tempo{'s' * (needed > 1)}, {len(tempos_bpm)} given"
        raise RequestError("tempo", problem, f"give {_example(dance)}")
    for tempo in tempos_bpm:
        positive("tempo", tempo, _example(dance))


def _example(dance: Dance) -> str:
    usual = [plain(float(_number(each.tempo))) for each in dance.tempos if each.tempo is not None]
    if len(usual) < len(dance.tempos):
        return "felt beats a minute as the dancers ask; none is on record"
    return f"felt beats a minute, usually {','.join(usual)}"


def _introduction(dance: Dance, bars: int | None) -> int:
    if bars is None:
        return int(_number(dance.introduction))
    return int(not_negative("introduction", bars, "a number of bars, such as 4"))


def _seconds(dance: Dance, tempo: DanceTempo, bars: int, bpm: float) -> Fraction:
    return bars * _beats(dance, tempo) * 60 / positive("tempo", bpm, _example(dance))


def _beats(dance: Dance, tempo: DanceTempo) -> Fraction:
    if tempo.beats_per_bar is None:
        raise RequestError(
            "beats a bar", f"none are on record for {dance.title}", "give the felt beats of a bar"
        )
    return _number(tempo.beats_per_bar)
