"""Which figures come round again?

A figure is what a player learns as one gesture: the notes and gracenotes of one beat, the number of
the beat, and the first note of the next beat with its gracenotes. Two notes have the same figure
number when they stand at the same place of the same figure.
"""

from __future__ import annotations

from collections.abc import Sequence

from planner.analysis.beats import PlacedNote
from planner.music.tune import Note


def number_figures(placed: Sequence[PlacedNote]) -> tuple[int, ...]:
    """For each note, the number of its place in its figure, counted as they first come, from 0."""
    numbers: dict[tuple[object, ...], int] = {}
    found: list[int] = []
    for group in beats_of(placed):
        follower = group[-1].follower
        arrival = _signature(placed[follower].note) if follower is not None else None
        # Whole numbers, since a figure is looked up and fractions are slow to hash.
        inside = tuple((note.onset.as_integer_ratio(), _signature(note.note)) for note in group)
        figure = (group[0].bar.metre, group[0].beat_number, inside, arrival)
        found += [numbers.setdefault((figure, n), len(numbers)) for n in range(len(group))]
    return tuple(found)


def beats_of(placed: Sequence[PlacedNote]) -> list[list[PlacedNote]]:
    """The notes that start in one felt beat of one bar, beat by beat."""
    groups: list[list[PlacedNote]] = []
    for note in placed:
        here = (note.bar_index, note.beat_number)
        if groups and here == (groups[-1][0].bar_index, groups[-1][0].beat_number):
            groups[-1].append(note)
        else:
            groups.append([note])
    return groups


def _signature(note: Note) -> tuple[object, ...]:
    return (note.pitch, note.length.as_integer_ratio(), note.gracenotes, note.tied_on)
