"""What is struck, and where? A drum score in the same addresses as the tune.

Positions are crotchets from the start of a full bar. A score has one line for each voice of the
corps. It may be whole or sparse: a bar that is in no line was not entered, which is not the same as
a bar of rest.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction

BarKey = tuple[int, int, int]
"""(part, bar, ending), numbered as in the tune."""
Roll = tuple[Fraction, Fraction]
"""Where a roll starts and where it ends."""


class DrumVoice(StrEnum):
    """Who plays a line: the leading drummer alone, the snare corps, tenors, bass."""

    LEADING = "leading snare"
    SNARE = "snare corps"
    TENOR = "tenor"
    BASS = "bass"


@dataclass(frozen=True, slots=True)
class DrumBar:
    """One bar of a line: where strokes fall, where rolls run (from, to), what is unison."""

    strokes: tuple[Fraction, ...] = ()
    rolls: tuple[Roll, ...] = ()
    unison: tuple[Fraction, ...] = ()

    def is_in_roll(self, position: Fraction) -> bool:
        """True when the position lies inside a roll, its first stroke not counted."""
        return any(start < position < end for start, end in self.rolls)


DrumLine = Mapping[BarKey, DrumBar]


@dataclass(frozen=True, slots=True)
class DrumScore:
    """The strokes of one tune, voice by voice; ``source`` says who entered it or which file."""

    lines: Mapping[DrumVoice, DrumLine] = field(default_factory=dict)
    source: str = ""

    def bars_at(self, key: BarKey, voices: Iterable[DrumVoice]) -> tuple[DrumBar, ...]:
        """What these voices have written for a bar; empty when none of them has entered it."""
        return tuple(
            self.lines[voice][key]
            for voice in voices
            if voice in self.lines and key in self.lines[voice]
        )
