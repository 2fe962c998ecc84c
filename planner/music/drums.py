"""What is struck, and where? A drum score in the same addresses as the tune.

Positions are crotchets from the start of a bar. A drum score may be whole (every bar entered) or
sparse: a bar that is not in it was not entered, which is not the same as a bar of rest.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

BarKey = tuple[int, int, int]
"""(part, bar, ending), numbered as in the tune."""


@dataclass(frozen=True, slots=True)
class DrumBar:
    """One bar of a drum score: where strokes fall, and where rolls run (from, to)."""

    strokes: tuple[Fraction, ...] = ()
    rolls: tuple[tuple[Fraction, Fraction], ...] = ()
    unison: tuple[Fraction, ...] = ()

    def is_in_roll(self, position: Fraction) -> bool:
        """True when the position lies inside a roll, its start not counted."""
        return any(start < position < end for start, end in self.rolls)


@dataclass(frozen=True, slots=True)
class DrumScore:
    """The strokes of one tune. ``title`` is the tune's, ``source`` says who entered it."""

    title: str
    bars: Mapping[BarKey, DrumBar] = field(default_factory=dict)
    source: str = ""
