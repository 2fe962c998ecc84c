"""How are numbers said on paper and on the screen?

Musicians' words for tempo, times through, shifts, addresses, clock and length. Tempo counts felt
beats a minute, shifts are milliseconds with later positive.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime, time
from itertools import groupby

from planner.event.event import Entry
from planner.event.joins import Join
from planner.event.played_parts import parts_text
from planner.licence.licence import Layers, Licence
from planner.marks.drum_map import DrumTempo
from planner.music.tempo import Metre
from planner.music.tune import Address, beat_text

LAYER_WORDS = {
    "within_beat": "within the beat",
    "across_bar": "across the bar",
    "across_phrase": "across the phrase",
    "between_tunes": "between tunes",
}
TEMPO_WORDS = {
    DrumTempo.STRICT: "strict tempo",
    DrumTempo.AGREED: "agreed tempo",
    DrumTempo.FREE: "free tempo",
    DrumTempo.NONE: "no drums",
}
COUNT_WORDS = {0: "until the cue", 1: "once through", 2: "twice through"}
NUMBER_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def tempo_words(bpm: float) -> str:
    """Felt beats a minute: ``84``, ``84.5``."""
    return f"{round(bpm, 1):g}"


def beats_a_minute(metres: Iterable[Metre]) -> str:
    """What the tempo counts: ``crotchets a minute``; ``beats a minute`` where it differs."""
    units = {metre.beat_unit for metre in metres}
    return f"{units.pop()}s a minute" if len(units) == 1 else "beats a minute"


def metre_words(metre: Metre) -> str:
    """``6/8``, ``cut time``."""
    return metre.words


def times_through(count: int) -> str:
    """``once through``, ``twice through``, ``3 times through``; 0 is ``until the cue``."""
    return COUNT_WORDS.get(count, f"{count} times through")


def played_words(times: int) -> str:
    """How often a part is played as printed: ``played once``, ``played twice``."""
    return f"played {({1: 'once', 2: 'twice'}).get(times, f'{times} times')}"


def parts_played(entry: Entry, part_count: int) -> str:
    """``2 parts``, or which parts in which order: ``parts 1 and 3``, ``part 2 once, part 1``."""
    if not entry.parts:
        return f"{part_count} part{'s' if part_count != 1 else ''}"
    named = parts_text(entry).split(", ")
    if any(entry.part_times):
        return ", ".join(f"part {words}" for words in named)
    return f"part{'s' if len(named) != 1 else ''} {join_words(named)}"


def start_words(entry: Entry) -> str:
    """How a tune is attacked, and the band's own words."""
    return _with_own(entry.attack.words if entry.attack else "", entry.start_line)


def stop_words(entry: Entry) -> str:
    """Where a tune may be cut off, and the band's own words."""
    return _with_own(entry.cut_off.words if entry.cut_off else "", entry.stop_line)


def _with_own(chosen: str, own: str) -> str:
    return " ".join(sentence(words) for words in (chosen, own) if words) if chosen else own


def shift_words(ms: float) -> str:
    """``35 ms later``, ``35 ms earlier``."""
    return f"{abs(round(ms))} ms {'later' if ms > 0 else 'earlier'}"


def addresses_in_words(addresses: Sequence[Address]) -> str:
    """Several addresses, those of one part and beat together: ``part 1, bars 1 and 5, beat 1``.

    Parts that have the same bars and beat are said together: ``parts 1 to 4, bar 3, beat 1``.
    """
    ordered = sorted(addresses, key=lambda at: (at.part, at.beat, at.bar, at.ending))
    groups: dict[tuple[str, str], list[list[Address]]] = {}
    for (_, beat), found in groupby(ordered, key=lambda at: (at.part, at.beat)):
        own = list(found)
        bars = join_words([bar_name(at) for at in own])
        groups.setdefault((bars, beat_text(beat)), []).append(own)
    return "; ".join(_same_bars_in_words(bars, beat, own) for (bars, beat), own in groups.items())


def _same_bars_in_words(bars: str, beat: str, parts: Sequence[Sequence[Address]]) -> str:
    """The same bars and beat in one part or several."""
    numbers, count = [own[0].part for own in parts], len(parts[0])
    if len(numbers) == 1 and count == 1:
        return str(parts[0][0])
    part = f"part{'s' if len(numbers) > 1 else ''} {_numbers_in_words(numbers)}"
    return f"{part}, bar{'s' if count > 1 else ''} {bars}, beat {beat}"


def _numbers_in_words(numbers: Sequence[int]) -> str:
    """``1 to 4`` for three or more in a row, else each of them."""
    if len(numbers) > 2 and numbers[-1] - numbers[0] == len(numbers) - 1:
        return f"{numbers[0]} to {numbers[-1]}"
    return join_words([str(number) for number in numbers])


def bar_name(address: Address) -> str:
    """The bar as printed: ``8``, ``8 (ending 1)``, ``pick-up``."""
    name = str(address.bar) if address.bar else "pick-up"
    return f"{name} (ending {address.ending})" if address.ending else name


def join_words(words: Sequence[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


def counted(count: int, thing: str) -> str:
    """``one mark``, ``three marks``, ``12 marks``."""
    return f"{number_words(count)} {thing}{'' if count == 1 else 's'}"


def number_words(count: int) -> str:
    """In words up to ten, in figures beyond."""
    return NUMBER_WORDS[count] if count < len(NUMBER_WORDS) else str(count)


def sentence(words: str) -> str:
    """With a capital and a full stop."""
    ended = words if words.endswith((".", "!", "?")) else f"{words}."
    return sentence_start(ended)


def sentence_start(words: str) -> str:
    """With a capital."""
    return words[:1].upper() + words[1:]


def clock_words(clock: time | None) -> str:
    """``09:15``, or nothing where nobody has said."""
    return f"{clock:%H:%M}" if clock else ""


def day_words(day: date | None) -> str:
    """``Saturday 14 June 2031``, or nothing where nobody has said."""
    return f"{day:%A} {day.day} {day:%B %Y}" if day else ""


def lifted_words(licence: Licence) -> str:
    """Who lifted the ceiling, and when, as a sentence; empty text when nobody did."""
    if not licence.lifted_by:
        return ""
    day = licence.lifted_on
    when = f", {day.day} {day:%B %Y}" if day else ""
    return sentence(f"Lifted above the occasion's ceiling by {licence.lifted_by}{when}")


def length_words(seconds: float) -> str:
    """``45 s``, ``3 min``, ``3 min 20 s``."""
    minutes, rest = divmod(round(seconds), 60)
    if not minutes:
        return f"{rest} s"
    return f"{minutes} min {rest} s" if rest else f"{minutes} min"


def version_words(version: int, made_at: datetime) -> str:
    """``version 3, made 12 Jun 2031 18:04``: what tells an old sheet from a new one."""
    return f"version {version}, {made_words(made_at)}"


def made_words(made_at: datetime) -> str:
    """``made 12 Jun 2031 18:04``."""
    return f"made {made_at.day} {made_at:%b %Y %H:%M}"


def join_in_words(join: Join) -> str:
    """``A join to be drilled, it lifts: 2/4 goes into C.``."""
    kind = f"{join.smoothness} join" if str(join.smoothness) != "to be drilled" else ""
    head = kind or "join to be drilled"
    lift = {"lift": ", it lifts", "flat": ", it sounds flat"}.get(str(join.lift), "")
    why = "; ".join(reason.text for reason in join.reasons)
    return sentence(sentence_start(f"{head}{lift}" + (f": {why}" if why else "")))


def layer_words(layers: Layers) -> tuple[tuple[str, str], ...]:
    """The four layers of a licence, each with how free it is."""
    return tuple((words, str(getattr(layers, name))) for name, words in LAYER_WORDS.items())


def layer_lines(layers: Layers) -> tuple[tuple[str, str], ...]:
    """The same, each layer at the beginning of a line."""
    return tuple((sentence_start(words), level) for words, level in layer_words(layers))
