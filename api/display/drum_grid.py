"""What does the page for entering a drum score show? One voice in one part, bar by bar."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from api.display.choices import Choices
from api.display.words import counted, sentence_start
from planner.music.drums import DrumBar, DrumLine, DrumScore, DrumVoice
from planner.music.tempo import Metre
from planner.music.tune import Bar, Part, Tune, beat_text


@dataclass(frozen=True, slots=True)
class CellView:
    """One place in a bar that can be struck; ``on_beat`` for felt beats."""

    value: str
    words: str
    is_struck: bool
    on_beat: bool


@dataclass(frozen=True, slots=True)
class GridBarView:
    """One bar: its key as ``3-0``, its places, its roll, and whether it was entered as rest."""

    key: str
    words: str
    cells: tuple[CellView, ...]
    roll_from: str
    roll_to: str
    places: Choices
    is_rest: bool
    is_unison: bool


@dataclass(frozen=True, slots=True)
class DrumGridView:
    """One voice in one part."""

    address: str
    title: str
    version: str
    part: str
    voice: str
    parts: Choices
    voices: Choices
    bars: tuple[GridBarView, ...]
    bar_choices: Choices
    entered: str


def drum_grid_view(
    key: str, version: int, tune: Tune, score: DrumScore, part: Part, voice: DrumVoice
) -> DrumGridView:
    """The grid of one voice in one part of a tune, with what is entered so far."""
    line: DrumLine = score.lines.get(voice, {})
    bars = tuple(_bar(part, bar, line) for bar in part.bars if not bar.is_pickup)
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
        entered=_entered(count),
    )


def _entered(count: int) -> str:
    return f"{counted(count, 'bar')} entered, all voices together." if count else "Nothing yet."


def places_of(metre: Metre) -> tuple[Fraction, ...]:
    """Where a bar can be struck on the grid: quarters of a felt beat, sixths of a compound one."""
    step = metre.beat_length / (6 if metre.is_compound else 4)
    return tuple(step * number for number in range(int(metre.bar_length / step)))


def _bar(part: Part, bar: Bar, line: DrumLine) -> GridBarView:
    entered = line.get((part.number, bar.number, bar.ending))
    present = entered or DrumBar()
    metre = bar.metre
    start, end = present.rolls[0] if present.rolls else (None, None)
    named = tuple((str(at), f"beat {_beat(at, metre)}") for at in places_of(metre))
    return GridBarView(
        key=f"{bar.number}-{bar.ending}",
        words=f"Bar {bar.number}" + (f", ending {bar.ending}" if bar.ending else ""),
        cells=tuple(
            CellView(str(at), _beat(at, metre), at in present.strokes, at % metre.beat_length == 0)
            for at in places_of(metre)
        ),
        roll_from="" if start is None else str(start),
        roll_to="" if end is None else str(end),
        places=(("", "no roll"), *named, (str(metre.bar_length), "the bar line")),
        is_rest=entered is not None and not (entered.strokes or entered.rolls),
        is_unison=bool(present.unison),
    )


def _beat(position: Fraction, metre: Metre) -> str:
    return beat_text(position / metre.beat_length + 1)
