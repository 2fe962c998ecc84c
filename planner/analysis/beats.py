"""Where does every printed note stand, and how strong is its place in the bar?

Notes are listed once, in printed order. Positions are crotchets from the start of a full bar: a
pick-up counts back from its bar line, so that its beat is the beat it is heard on. Beat strength
halves with each level of the metre, as the open library music21 has it; only the order means
anything.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

from planner.music.tempo import Metre
from planner.music.tune import Address, Bar, Note, NotePlace, Part, Tune


@dataclass(frozen=True, slots=True)
class PlacedNote:
    """A printed note with its place.

    ``onset`` and ``end`` are crotchets from the start of a full bar, ``beat_number`` is the felt
    beat the note starts in, from 1, and ``is_on_beat`` True when it starts just there.
    ``bar_index`` counts all printed bars of the tune from 0. ``follower`` is the index of the note
    that sounds next the first time through (None at the end of the tune), ``followers`` of all that
    ever do.
    """

    index: int
    place: NotePlace
    note: Note
    bar: Bar
    bar_index: int
    onset: Fraction
    end: Fraction
    beat_number: int
    is_on_beat: bool
    strength: float
    follower: int | None
    followers: tuple[int, ...]

    @property
    def address(self) -> Address:
        """Part, bar, ending and beat."""
        return self.place.address


def place_notes(tune: Tune) -> tuple[PlacedNote, ...]:
    """Every printed note in order, with its address, strength and what sounds after it."""
    bars = [(part, bar) for part in tune.parts for bar in part.bars]
    first_index = _first_note_indices(bars)
    successors = _bar_successors(tune)
    placed: list[PlacedNote] = []
    for bar_index, (part, bar) in enumerate(bars):
        after_bar = tuple(
            dict.fromkeys(
                index
                for successor in successors[bar_index]
                if (index := first_index[successor]) is not None
            )
        )
        placed += _notes_of_bar(part, bar, bar_index, len(placed), after_bar)
    return tuple(placed)


def _notes_of_bar(
    part: Part, bar: Bar, bar_index: int, start: int, after_bar: tuple[int, ...]
) -> Iterator[PlacedNote]:
    slots = _slots_of(tuple(note.length for note in bar.notes), bar.metre, bar.is_pickup)
    for offset, (note, slot) in enumerate(zip(bar.notes, slots, strict=True)):
        is_last = offset == len(bar.notes) - 1
        followers = after_bar if is_last else (start + offset + 1,)
        name = note.pitch.name if note.pitch else "rest"
        yield PlacedNote(
            index=start + offset,
            place=NotePlace(Address(part.number, bar.number, bar.ending, slot.beat), name, offset),
            note=note,
            bar=bar,
            bar_index=bar_index,
            onset=slot.onset,
            end=slot.end,
            beat_number=slot.beat_number,
            is_on_beat=slot.is_on_beat,
            strength=slot.strength,
            follower=followers[0] if followers else None,
            followers=followers,
        )


@dataclass(frozen=True, slots=True)
class _Slot:
    """A place in a rhythm, whatever note stands there: see ``PlacedNote``; ``beat`` from 1."""

    onset: Fraction
    end: Fraction
    beat: Fraction
    beat_number: int
    is_on_beat: bool
    strength: float


# A tune has few rhythms and many bars, and Fractions are slow to make.
@lru_cache(maxsize=1024)
def _slots_of(lengths: tuple[Fraction, ...], metre: Metre, is_pickup: bool) -> tuple[_Slot, ...]:
    """The places of a bar with notes of these lengths, in crotchets; a pick-up counts back."""
    total = sum(lengths, Fraction(0))
    position = metre.bar_length - total if is_pickup else Fraction(0)
    slots = []
    for length in lengths:
        beat = position / metre.beat_length + 1
        slots.append(
            _Slot(
                onset=position,
                end=position + length,
                beat=beat,
                beat_number=math.floor(beat),
                is_on_beat=beat.denominator == 1,
                strength=beat_strength(position, metre),
            )
        )
        position += length
    return tuple(slots)


def _first_note_indices(bars: list[tuple[Part, Bar]]) -> list[int | None]:
    """Index of the first note of each printed bar; None for a bar without notes."""
    found: list[int | None] = []
    count = 0
    for _, bar in bars:
        found.append(count if bar.notes else None)
        count += len(bar.notes)
    return found


def _bar_successors(tune: Tune) -> list[tuple[int, ...]]:
    """For each printed bar, the printed bars that are ever played after it, first time first."""
    keys = [(part.number, bar.number, bar.ending) for part in tune.parts for bar in part.bars]
    index_of = {key: index for index, key in enumerate(keys)}
    played = [
        index_of[part.number, bar.number, bar.ending]
        for part, number in tune.passes()
        for bar in part.bars_in_pass(number)
    ]
    found: list[list[int]] = [[] for _ in keys]
    for here, there in [*pairwise(played), *_inside_parts(tune, index_of)]:
        if there not in found[here]:
            found[here].append(there)
    return [tuple(successors) for successors in found]


def _inside_parts(
    tune: Tune, index_of: Mapping[tuple[int, int, int], int]
) -> Iterator[tuple[int, int]]:
    """What follows what in a part, also in a pass that is not of the last time through."""
    for part in tune.parts:
        for number in part.every_pass:
            yield from pairwise(
                index_of[part.number, bar.number, bar.ending] for bar in part.bars_in_pass(number)
            )


def notes_before(placed: Sequence[PlacedNote]) -> tuple[tuple[int, ...], ...]:
    """For each note, the notes that ever sound just before it, in printed order."""
    found: list[list[int]] = [[] for _ in placed]
    for note in placed:
        for follower in note.followers:
            found[follower].append(note.index)
    return tuple(tuple(indices) for indices in found)


@lru_cache(maxsize=4096)
def beat_strength(position: Fraction, metre: Metre) -> float:
    """Strength of a position in the bar: 1 on beat 1, halved at each finer level of the metre.

    Source: lerdahl_jackendoff_1983, as the open library music21 computes it.

    >>> [beat_strength(Fraction(n, 2), Metre(4, 4)) for n in range(4)]
    [1.0, 0.125, 0.25, 0.125]
    """
    grid, strength = metre.bar_length, 1.0
    for division in _divisions(metre):
        if position % grid == 0:
            return strength
        grid, strength = grid / division, strength / 2
    return strength


def _divisions(metre: Metre) -> tuple[int, ...]:
    """Into how many the bar divides, level by level, down to about a demisemiquaver."""
    beats = metre.beats_per_bar
    upper = {4: (2, 2), 8: (2, 2, 2), 6: (2, 3)}.get(beats, (beats,) if beats > 1 else ())
    return (*upper, 3 if metre.is_compound else 2, 2, 2)
