"""What does the page for entering a drum score show? One voice in one part, bar by bar."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from api.display.choices import Choices
from api.display.words import counted, join_words, sentence, sentence_start
from planner.music.drums import BarKey, DrumBar, DrumLine, DrumScore, DrumVoice, Roll
from planner.music.tempo import Metre
from planner.music.tune import Bar, Part, Tune, beat_text

# With how many places can two bars still stand side by side?
SIDE_BY_SIDE = 12
SPLIT_WORDS = {3: "three", 4: "four", 6: "six", 8: "eight", 12: "twelve"}
"""How many places a felt beat can have, in words."""


@dataclass(frozen=True, slots=True)
class CellView:
    """One place in a bar: what is ticked there; ``on_beat`` for felt beats."""

    value: str
    words: str
    on_beat: bool
    is_struck: bool
    is_rolled: bool


@dataclass(frozen=True, slots=True)
class BeatView:
    """One felt beat of a bar, over ``places`` places: whether its strokes are in unison."""

    value: str
    words: str
    places: int
    is_unison: bool


@dataclass(frozen=True, slots=True)
class GridBarView:
    """One bar: its key as ``3-0``, its places and beats, and whether it was entered as rest.

    ``beside`` says what a file has between the places of the grid; it is kept.
    """

    key: str
    words: str
    cells: tuple[CellView, ...]
    beats: tuple[BeatView, ...]
    is_rest: bool
    beside: str


@dataclass(frozen=True, slots=True)
class DrumGridView:
    """One voice in one part; ``is_long`` when two bars do not fit side by side."""

    address: str
    title: str
    version: str
    part: str
    voice: str
    parts: Choices
    voices: Choices
    bars: tuple[GridBarView, ...]
    bar_choices: Choices
    until_choices: Choices
    is_long: bool
    split: str
    splits: Choices
    entered: str
    scan_kind: str = ""

    @property
    def scan(self) -> str:
        """Where the picture or PDF of the paper lies; empty where there is none."""
        return f"/api{self.address.removesuffix('score')}scan" if self.scan_kind else ""


def drum_grid_view(
    key: str,
    version: int,
    tune: Tune,
    score: DrumScore,
    part: Part,
    voice: DrumVoice,
    split: int = 0,
) -> DrumGridView:
    """The grid of one voice in one part of a tune, with what is entered so far.

    ``split`` is how many places a felt beat has; 0 takes what fits what is entered.
    """
    line: DrumLine = score.lines.get(voice, {})
    chosen = split or split_for(part, line)
    bars = tuple(_bar(part, bar, line, chosen) for bar in part.full_bars)
    count = sum(len(each) for each in score.lines.values())
    return DrumGridView(
        address=f"/tunes/{key}/drum-score",
        title=tune.title,
        version=str(version),
        part=str(part.number),
        voice=voice.value,
        parts=tuple((str(each.number), f"Part {each.number}") for each in tune.parts),
        voices=tuple((each.value, sentence_start(each.value)) for each in DrumVoice),
        bars=bars,
        bar_choices=tuple((bar.key, bar.words) for bar in bars),
        until_choices=(("", "that bar alone"), *((bar.key, bar.words) for bar in bars)),
        split=str(chosen),
        splits=tuple((str(n), SPLIT_WORDS[n]) for n in splits_of(metre_of(part))),
        is_long=any(len(bar.cells) > SIDE_BY_SIDE for bar in bars),
        entered=_entered(count),
    )


def _entered(count: int) -> str:
    return (
        sentence(f"{counted(count, 'bar')} entered, all voices together")
        if count
        else "Nothing yet."
    )


def places_of(metre: Metre, split: int) -> tuple[Fraction, ...]:
    """Where a bar can be struck on a grid of so many places a felt beat."""
    step = metre.beat_length / split
    return tuple(step * number for number in range(int(metre.bar_length / step)))


def metre_of(part: Part) -> Metre:
    """The metre of a part's bars."""
    return next(iter(part.full_bars), part.bars[0]).metre


def splits_of(metre: Metre) -> tuple[int, ...]:
    """How many places a felt beat can have, the usual first: fours or threes and their halves."""
    return (6, 3, 12) if metre.is_compound else (4, 3, 8, 6)


def split_for(part: Part, line: DrumLine) -> int:
    """The first of the splits on which everything stands that is entered; the usual where none."""
    metre = metre_of(part)
    entered = [line[key] for bar in part.full_bars if (key := _key(part, bar)) in line]
    for split in splits_of(metre):
        if all(off_the_grid(each, metre, split) == DrumBar() for each in entered):
            return split
    return splits_of(metre)[0]


def _key(part: Part, bar: Bar) -> BarKey:
    return part.number, bar.number, bar.ending


def beat_of(position: Fraction, metre: Metre) -> int:
    """The felt beat a position lies in, from 0."""
    return int(position / metre.beat_length)


def rolls_of(
    rolling: Sequence[Fraction], struck: Sequence[Fraction], step: Fraction
) -> tuple[Roll, ...]:
    """The rolls of ticked places in order: neighbours run on, until a new stroke begins another.

    ``step`` is how far the places of the grid are apart, in crotchets.
    """
    rolls: list[Roll] = []
    for at in rolling:
        end = at + step
        if rolls and rolls[-1][1] == at and at not in struck:
            rolls[-1] = (rolls[-1][0], end)
        else:
            rolls.append((at, end))
    return tuple(rolls)


def off_the_grid(bar: DrumBar, metre: Metre, split: int) -> DrumBar:
    """The strokes and rolls of a bar that do not stand on the places of the grid."""
    edges = {*places_of(metre, split), metre.bar_length}
    return DrumBar(
        tuple(at for at in bar.strokes if at not in edges),
        tuple(roll for roll in bar.rolls if not edges.issuperset(roll)),
    )


def _bar(part: Part, bar: Bar, line: DrumLine, split: int) -> GridBarView:
    entered = line.get(_key(part, bar))
    present, metre = entered or DrumBar(), bar.metre
    kept = off_the_grid(present, metre, split)
    shown = [roll for roll in present.rolls if roll not in kept.rolls]
    places = places_of(metre, split)
    return GridBarView(
        key=f"{bar.number}-{bar.ending}",
        words=f"Bar {bar.number}" + (f", ending {bar.ending}" if bar.ending else ""),
        cells=tuple(
            CellView(
                str(at),
                _beat(at, metre),
                on_beat=at % metre.beat_length == 0,
                is_struck=at in present.strokes,
                is_rolled=any(start <= at < end for start, end in shown),
            )
            for at in places
        ),
        beats=tuple(
            BeatView(
                str(beat * metre.beat_length),
                str(beat + 1),
                len(places) // metre.beats_per_bar,
                is_unison=any(beat_of(at, metre) == beat for at in present.unison),
            )
            for beat in range(metre.beats_per_bar)
        ),
        is_rest=entered is not None and not (entered.strokes or entered.rolls),
        beside=_beside(kept, metre),
    )


def _beside(kept: DrumBar, metre: Metre) -> str:
    """What a file has between the places of the grid, in words; empty where there is nothing."""
    strokes = [f"a stroke at beat {_beat(at, metre)}" for at in kept.strokes]
    rolls = [f"a roll from beat {_beat(a, metre)} to {_beat(b, metre)}" for a, b in kept.rolls]
    said = join_words([*strokes, *rolls])
    return sentence(f"Kept as it was sent: {said}") if said else ""


def _beat(position: Fraction, metre: Metre) -> str:
    return beat_text(position / metre.beat_length + 1)
