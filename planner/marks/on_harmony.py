"""Where do the marks of the melody stand on the music of a harmony?

The harmony goes with the melody: a mark stands on the note of the harmony that sounds where the
melody's note starts.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction

from planner.marks.marks import Mark
from planner.music.tune import Address, Bar, NotePlace, Part


def marks_on_harmony(marks: Iterable[Mark], harmony: tuple[Part, ...]) -> tuple[Mark, ...]:
    """The marks on a harmony's notes; a mark is left out where the harmony rests or holds on."""
    bars = {(part.number, bar.number, bar.ending): bar for part in harmony for bar in part.bars}
    found: dict[tuple[str, str], Mark] = {}
    for mark in marks:
        place, moved = _sounding(mark.place, bars), _sounding(mark.moved, bars)
        if place is not None:
            key = (place.note_id, mark.move.value)
            found.setdefault(key, replace(mark, place=place, moved=moved or place))
    return tuple(found.values())


def _sounding(place: NotePlace, bars: dict[tuple[int, int, int], Bar]) -> NotePlace | None:
    at = place.address
    bar = bars.get((at.part, at.bar, at.ending))
    if bar is None:
        return None
    wanted = (at.beat - 1) * bar.metre.beat_length
    onset = bar.metre.bar_length - bar.length if bar.is_pickup else Fraction(0)
    for index, note in enumerate(bar.notes):
        if onset <= wanted < onset + note.length:
            if note.pitch is None:
                return None
            beat = onset / bar.metre.beat_length + 1
            return NotePlace(Address(at.part, at.bar, at.ending, beat), note.pitch.name, index)
        onset += note.length
    return None
