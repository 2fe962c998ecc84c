"""How does a metre feel, and how long does a beat last?

All lengths are Fractions of a crotchet. A felt beat is what the foot marks: the crotchet in 2/4
and 4/4, the dotted crotchet in 6/8, the minim in cut time.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

BEAT_UNIT_WORDS = {
    Fraction(1, 4): "semiquaver",
    Fraction(1, 2): "quaver",
    Fraction(3, 4): "dotted quaver",
    Fraction(1): "crotchet",
    Fraction(3, 2): "dotted crotchet",
    Fraction(2): "minim",
    Fraction(3): "dotted minim",
    Fraction(4): "semibreve",
}


@dataclass(frozen=True, slots=True)
class Metre:
    """A time signature: ``count`` notes of 1/``unit``; ``symbol`` is ``C``, ``C|`` or empty."""

    count: int
    unit: int
    symbol: str = ""

    @property
    def bar_length(self) -> Fraction:
        """Length of a full bar in crotchets."""
        return _bar_length(self.count, self.unit)

    @property
    def is_compound(self) -> bool:
        """True when the felt beat divides in three (6/8, 9/8, 12/8, also 6/4)."""
        return self.count > 3 and self.count % 3 == 0

    @property
    def beat_length(self) -> Fraction:
        """Length of one felt beat in crotchets."""
        return _beat_length(self.unit, self.is_compound)

    @property
    def beats_per_bar(self) -> int:
        """Felt beats in a full bar (6/8 has two)."""
        return int(self.bar_length / self.beat_length)

    @property
    def beat_unit(self) -> str:
        """The felt beat in words, such as ``dotted crotchet``."""
        return BEAT_UNIT_WORDS[self.beat_length]

    @property
    def words(self) -> str:
        """``6/8``; common and cut time are named, as their signs do not say the count."""
        return {"C": "common time", "C|": "cut time"}.get(self.symbol, str(self))

    def __str__(self) -> str:
        return self.symbol or f"{self.count}/{self.unit}"


# Asked for every note of every tune, so each is worked out once.
@lru_cache(maxsize=256)
def _bar_length(count: int, unit: int) -> Fraction:
    return Fraction(4 * count, unit)


@lru_cache(maxsize=256)
def _beat_length(unit: int, is_compound: bool) -> Fraction:
    return Fraction(12 if is_compound else 4, unit)


@dataclass(frozen=True, slots=True)
class Tempo:
    """Felt beats a minute."""

    bpm: float

    @property
    def beat_ms(self) -> float:
        """Milliseconds of one felt beat."""
        return 60_000.0 / self.bpm

    def ms(self, length: Fraction, metre: Metre) -> float:
        """Milliseconds of a length given in crotchets, in this metre."""
        beat = metre.beat_length
        # One division of whole numbers: the same float as through a Fraction, several times faster.
        beats = (length.numerator * beat.denominator) / (length.denominator * beat.numerator)
        return beats * self.beat_ms
