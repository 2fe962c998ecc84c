"""Which figures of a tune come round again, just the same or with other gracenotes?

A figure is a beat and the note it arrives at, as in ``figures.py``. Equal figures are learnt once;
figures of one melody with other gracenotes are where fingers go astray, so they are told apart.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from planner.analysis.beats import PlacedNote
from planner.analysis.figures import beats_of
from planner.music.tune import Address, Note


@dataclass(frozen=True, slots=True)
class Recurrence:
    """A figure where it first comes, where it comes again, and where only its melody does.

    Of the gracenotes a melody is played with, those that come most often make the figure.
    """

    first: Address
    notes: tuple[str, ...]
    equal: tuple[Address, ...]
    alike: tuple[Address, ...]

    @property
    def times(self) -> int:
        """How often the melody of the figure is printed."""
        return 1 + len(self.equal) + len(self.alike)


def recurring_figures(placed: Sequence[PlacedNote]) -> tuple[Recurrence, ...]:
    """The figures that come round again, those that come most often first.

    A figure has at least two notes in its beat, or gracenotes; one plain note is none.
    """
    by_melody: dict[object, list[tuple[tuple[PlacedNote, ...], object]]] = {}
    for group in beats_of(placed):
        if len(group) < 2 and not group[0].note.gracenotes:
            continue
        arrival = placed[group[0].index + len(group) - 1].follower
        sounds = [*group, placed[arrival]] if arrival is not None else list(group)
        melody, graces = _melody(group, sounds), tuple(each.note.gracenotes for each in sounds)
        by_melody.setdefault(melody, []).append((tuple(group), graces))
    found = [_recurrence(figures) for figures in by_melody.values() if len(figures) > 1]
    return tuple(sorted(found, key=lambda one: (-one.times, one.first)))


def _recurrence(figures: Sequence[tuple[tuple[PlacedNote, ...], object]]) -> Recurrence:
    usual = Counter(graces for _, graces in figures).most_common(1)[0][0]
    first, *equal = (group for group, graces in figures if graces == usual)
    return Recurrence(
        first=first[0].address,
        notes=tuple(each.place.note for each in first),
        equal=tuple(group[0].address for group in equal),
        alike=tuple(group[0].address for group, graces in figures if graces != usual),
    )


def _melody(group: Sequence[PlacedNote], sounds: Sequence[PlacedNote]) -> object:
    start = (group[0].beat_number - 1) * group[0].bar.metre.beat_length
    inside = tuple((each.onset - start, _plain(each.note)) for each in group)
    return group[0].bar.metre, inside, tuple(_plain(each.note) for each in sounds[len(group) :])


def _plain(note: Note) -> tuple[object, ...]:
    return note.pitch, note.length, note.tied_on
