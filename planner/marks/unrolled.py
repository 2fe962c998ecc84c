"""The played list from the first note to the last: repeats unrolled, times counted from the start.

The played list of ``played.py`` says what each printed note does; this one says what a listener
hears, pass by pass. Milliseconds from the first sound's written place.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from planner.analysis.analyse import TuneAnalysis
from planner.marks.played import Change, PlayedNote
from planner.music.tune import Bar, NotePlace, Tune


@dataclass(frozen=True, slots=True)
class HeardNote:
    """One note as heard: when its gracenotes start, when the note itself does, when it ends."""

    place: NotePlace
    pass_number: int
    movement_start_ms: float
    sounding_ms: float
    end_ms: float


@dataclass(frozen=True, slots=True)
class HeardSound:
    """One sound of the chanter: MIDI number of the written pitch, start and end in ms."""

    pitch: int
    start_ms: float
    end_ms: float


def play_through(
    analysis: TuneAnalysis,
    played: tuple[PlayedNote, ...],
    change: Change,
    passes: Sequence[tuple[int, int]] | None = None,
) -> tuple[tuple[HeardNote, ...], float]:
    """One time through, every note up to the start of the next one's gracenotes, and its length.

    ``passes`` are parts by number, each with which time through it is; None: as the tune has them.
    The length is in ms, from the first bar's start to the last one's end.
    """
    by_bar: dict[tuple[int, int, int], list[int]] = {}
    for note in analysis.notes:
        address = note.address
        by_bar.setdefault((address.part, address.bar, address.ending), []).append(note.index)
    starts: list[tuple[int, int, float]] = []
    position = 0.0
    for part_number, pass_number, bar in _bars_in_order(analysis.tune, passes):
        indices = by_bar.get((part_number, bar.number, bar.ending), [])
        length_ms = analysis.tempo.ms(bar.length, bar.metre)
        zero = position + (length_ms if bar.is_pickup else 0.0)
        starts += [(index, pass_number, zero) for index in indices]
        growth = change.growth_ms.get(analysis.notes[indices[0]].bar_index, 0.0) if indices else 0.0
        position += length_ms + growth
    return tuple(_heard(starts, played, position)), position


def sounds_of(analysis: TuneAnalysis, heard: tuple[HeardNote, ...]) -> tuple[HeardSound, ...]:
    """Every gracenote and note as it sounds, one after the other and never two at once."""
    notes = {note.place: note.note for note in analysis.notes}
    found: list[HeardSound] = []
    for one in heard:
        note = notes[one.place]
        pitches = [pitch.midi for pitch in note.gracenotes]
        step = (one.sounding_ms - one.movement_start_ms) / max(len(pitches), 1)
        for number, pitch in enumerate(pitches):
            start = one.movement_start_ms + number * step
            found.append(HeardSound(pitch, start, start + step))
        if note.pitch is not None:
            found.append(HeardSound(note.pitch.midi, one.sounding_ms, one.end_ms))
    return tuple(found)


def _bars_in_order(
    tune: Tune, passes: Sequence[tuple[int, int]] | None
) -> Iterator[tuple[int, int, Bar]]:
    by_number = {part.number: part for part in tune.parts}
    asked = ((by_number[part], number) for part, number in passes or ())
    for part, pass_number in tune.passes() if passes is None else asked:
        for bar in part.bars_in_pass(pass_number):
            yield part.number, pass_number, bar


def _heard(
    starts: list[tuple[int, int, float]], played: tuple[PlayedNote, ...], end: float
) -> Iterator[HeardNote]:
    for here, (index, pass_number, zero) in enumerate(starts):
        note = played[index]
        is_last = here == len(starts) - 1
        stops = end if is_last else _movement_start(starts[here + 1], played)
        yield HeardNote(
            place=note.place,
            pass_number=pass_number,
            movement_start_ms=zero + note.movement_start_ms,
            sounding_ms=zero + note.sounding_ms,
            end_ms=stops,
        )


def _movement_start(start: tuple[int, int, float], played: tuple[PlayedNote, ...]) -> float:
    index, _, zero = start
    return zero + played[index].movement_start_ms
