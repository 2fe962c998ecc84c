"""How does the tune lie on the chanter: its range, and its notes against the drones?

The drones sound low A an octave and two octaves below. A note whose ratio to low A is made of small
numbers blends with them, one of larger numbers stands against them: with octaves left out, the
largest odd number of the ratio tells. Ratios: chanter_scales_1998. Up to five is called a concord,
as the fourth, the fifth, the thirds and the sixths are in any book of harmony (common practice).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from planner.music.scale import CHANTER_NAMES
from planner.music.tune import Tune
from planner.music.tuning import HARMONIC

LARGEST_OF_A_CONCORD = 5
INTERVALS: Mapping[str, str] = {
    "low G": "seventh",
    "low A": "the drones' own note",
    "B": "second",
    "C": "third",
    "D": "fourth",
    "E": "fifth",
    "F": "sixth",
    "high G": "seventh",
    "high A": "octave",
}


@dataclass(frozen=True, slots=True)
class AgainstDrones:
    """One note of the chanter in a tune: its interval to low A, and its share of the time, 0 to 1.

    ``is_concord`` is True for a note that blends with the drones.
    """

    note: str
    interval: str
    is_concord: bool
    share: float


@dataclass(frozen=True, slots=True)
class Range:
    """The lowest and highest note of a tune, and the notes between them it never plays."""

    lowest: str
    highest: str
    never: tuple[str, ...]


def against_drones(tune: Tune) -> tuple[AgainstDrones, ...]:
    """The notes a tune plays, from the lowest up; printed notes once, none off the chanter."""
    lengths = _lengths(tune)
    total = sum(lengths.values(), Fraction(0))
    return tuple(
        AgainstDrones(name, INTERVALS[name], is_concord(name), float(lengths[name] / total))
        for name in CHANTER_NAMES
        if name in lengths
    )


def is_concord(note: str) -> bool:
    """True for a note that blends with the drones.

    Raises:
        KeyError: it is not one of the nine.
    """
    ratio = HARMONIC[note]
    return max(_odd(ratio.numerator), _odd(ratio.denominator)) <= LARGEST_OF_A_CONCORD


def range_of(tune: Tune) -> Range | None:
    """The range of a tune; None without notes of the chanter."""
    played = [name for name in CHANTER_NAMES if name in _lengths(tune)]
    if not played:
        return None
    inside = CHANTER_NAMES[CHANTER_NAMES.index(played[0]) : CHANTER_NAMES.index(played[-1])]
    return Range(played[0], played[-1], tuple(name for name in inside if name not in played))


def _lengths(tune: Tune) -> dict[str, Fraction]:
    lengths: dict[str, Fraction] = {}
    for part in tune.parts:
        for note in (note for bar in part.bars for note in bar.notes):
            name = note.pitch.chanter_name if note.pitch else None
            if name is not None:
                lengths[name] = lengths.get(name, Fraction(0)) + note.length
    return lengths


def _odd(number: int) -> int:
    while number % 2 == 0:
        number //= 2
    return number
