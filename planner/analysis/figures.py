"""Which figures come round again?

A figure is what a player learns as one gesture: the notes and gracenotes of one beat, the number of
the beat, and the first note of the next beat with its gracenotes. Two notes have the same figure
key when they stand at the same place of the same figure.
"""

from __future__ import annotations

from collections.abc import Sequence

from planner.analysis.beats import PlacedNote
from planner.music.tune import Note

FigureKey = tuple[object, ...]


def figure_keys(placed: Sequence[PlacedNote]) -> tuple[FigureKey, ...]:
    """For each note, the key of the figure it stands in together with its place there."""
    keys: list[FigureKey] = [()] * len(placed)
    for group in _beats(placed):
        follower = group[-1].follower
        arrival = _signature(placed[follower].note) if follower is not None else None
        start = (group[0].beat_number - 1) * group[0].bar.metre.beat_length
        inside = tuple((note.onset - start, _signature(note.note)) for note in group)
        figure = (group[0].bar.metre, group[0].beat_number, inside, arrival)
        for position, note in enumerate(group):
            keys[note.index] = (*figure, position)
    return tuple(keys)


def _beats(placed: Sequence[PlacedNote]) -> list[list[PlacedNote]]:
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
    return (note.pitch, note.length, note.gracenotes, note.tied_on)
