"""Which note heads, flags and dots write a length?

Lengths are Fractions of a crotchet. A length that no single note can show (five semiquavers) is
written as several notes tied together; ``tuplet_edges`` finds where a triplet's bracket begins
and ends.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from planner.music.tune import Note

#: MusicXML's names by length in crotchets, longest first.
KINDS = {
    Fraction(8): "breve",
    Fraction(4): "whole",
    Fraction(2): "half",
    Fraction(1): "quarter",
    Fraction(1, 2): "eighth",
    Fraction(1, 4): "16th",
    Fraction(1, 8): "32nd",
    Fraction(1, 16): "64th",
    Fraction(1, 32): "128th",
    Fraction(1, 64): "256th",
}
# Three dots are what the triple broken rhythm of a written tune needs.
MOST_DOTS = 3


@dataclass(frozen=True, slots=True)
class NoteValue:
    """One written note: MusicXML's name of its kind, dots, flags, and length in crotchets."""

    kind: str
    dots: int
    flags: int
    length: Fraction


@lru_cache(maxsize=1024)  # a tune has few lengths, and asks for each many times
def note_values(length: Fraction) -> tuple[NoteValue, ...]:
    """The written notes that last ``length`` together, longest first; one for a usual length.

    Empty when plain and dotted notes cannot make the length.

    >>> [(value.kind, value.dots) for value in note_values(Fraction(7, 4))]
    [('quarter', 2)]
    """
    values, rest = [], length
    while rest > 0:
        value = _longest_within(rest)
        if value is None:
            return ()
        values.append(value)
        rest -= value.length
    return tuple(values)


def written_length(note: Note) -> Fraction:
    """What the note's head, flag and dots say: its length before a triplet shortens it."""
    actual, normal = note.tuplet or (1, 1)
    return note.length * Fraction(actual, normal)


def tuplet_edges(notes: Sequence[Note]) -> tuple[set[int], set[int]]:
    """Indexes of the notes on which a triplet begins, and of those on which one ends."""
    starts: set[int] = set()
    stops: set[int] = set()
    group: list[Note] = []
    for index, note in enumerate(notes):
        if group and note.tuplet != group[-1].tuplet:
            stops.add(index - 1)
            group = []
        if note.tuplet is None:
            continue
        if not group:
            starts.add(index)
        group.append(note)
        if _is_whole_tuplet(group):
            stops.add(index)
            group = []
    if group:
        stops.add(len(notes) - 1)
    return starts, stops


def _longest_within(length: Fraction) -> NoteValue | None:
    for plain, kind in KINDS.items():
        for dots in range(MOST_DOTS, -1, -1):
            dotted = plain * (2 - Fraction(1, 2**dots))
            if dotted <= length:
                return NoteValue(kind, dots, _flags(plain), dotted)
    return None


def _flags(plain: Fraction) -> int:
    return max(0, plain.denominator.bit_length() - 1)


def _is_whole_tuplet(group: Sequence[Note]) -> bool:
    """True when the notes fill ``actual`` times a plain value that is not below the shortest."""
    assert group[0].tuplet is not None
    lengths = [written_length(note) for note in group]
    unit = sum(lengths, Fraction(0)) / group[0].tuplet[0]
    return unit in KINDS and unit >= min(lengths) and len(group) > 1
