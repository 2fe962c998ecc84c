"""Can this tune be written on a staff at all?

Asked before anything is drawn, so that the engraver never meets music it cannot take.
"""

from __future__ import annotations

from collections.abc import Iterator

from planner.engraving.note_values import note_values, written_length
from planner.errors import EngravingError
from planner.music.tune import Bar, Note, Part, Tune, bar_id

# A four-part march has some 30 printed bars; this is a book, not a tune.
MOST_BARS = 1000
MOST_NOTES_IN_A_BAR = 200
MOST_GRACENOTES = 20
WRITABLE_UNITS = (1, 2, 4, 8, 16, 32, 64)


def refuse_unwritable(tune: Tune) -> None:
    """Do nothing for a tune that can be written.

    Raises:
        EngravingError: what cannot be written, where, and what to do.
    """
    count = sum(len(part.bars) for part in tune.parts)
    if count == 0:
        raise EngravingError(f"{tune.title}: there are no bars to draw; enter the tune's bars.")
    if count > MOST_BARS:
        raise EngravingError(
            f"{tune.title}: {count} bars are too many for one tune; split it at its parts."
        )
    _refuse_double_bars(tune)
    for part in tune.parts:
        for bar in part.bars:
            for problem in _problems(part, bar):
                raise EngravingError(f"{tune.title}, {_where(part, bar)}: {problem}")


def _refuse_double_bars(tune: Tune) -> None:
    seen: set[str] = set()
    for part in tune.parts:
        for bar in part.bars:
            identity = bar_id(part.number, bar.number, bar.ending)
            if identity in seen:
                raise EngravingError(
                    f"{tune.title}, {_where(part, bar)}: the bar is there twice; "
                    "number the bars of a part from 1."
                )
            seen.add(identity)


def _problems(part: Part, bar: Bar) -> Iterator[str]:
    if bar.metre.count < 1 or bar.metre.unit not in WRITABLE_UNITS:
        yield f"the metre {bar.metre} cannot be written; give one such as 6/8."
    if bar.ending > len(part.endings):
        yield f"ending {bar.ending} has no pass to be played in; give the part its endings."
    if len(bar.notes) > MOST_NOTES_IN_A_BAR:
        yield f"{len(bar.notes)} notes are too many for one bar; put in bar lines."
    for number, note in enumerate(bar.notes, start=1):
        yield from (f"note {number} {problem}" for problem in _note_problems(note))


def _note_problems(note: Note) -> Iterator[str]:
    if note.length <= 0:
        yield "has no length; give it one."
    elif note.tuplet is not None and min(note.tuplet) < 1:
        yield "is in a group of no notes; write it as a triplet, 3 in the time of 2."
    elif not note_values(written_length(note)):
        yield f"lasts {note.length} crotchets, which no note can show; give it a plain length."
    if len(note.gracenotes) > MOST_GRACENOTES:
        yield f"has {len(note.gracenotes)} gracenotes; check where its gracenotes end."
    for pitch in (note.pitch, *note.gracenotes):
        if pitch is not None and not (pitch.step in tuple("ABCDEFG") and 0 <= pitch.octave <= 9):
            yield f"is {pitch.name}, which has no place on the staff; give it a chanter note."


def _where(part: Part, bar: Bar) -> str:
    ending = f", ending {bar.ending}" if bar.ending else ""
    place = "the pick-up" if bar.is_pickup else f"bar {bar.number}"
    return f"part {part.number}, {place}{ending}"
