"""By how much do broken rhythm and tuplets stretch or shorten notes?

ABC 2.1, 4.4 and 4.13.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

#: Factors of the long and the short note by the number of ``>`` or ``<``.
BROKEN = {
    1: (Fraction(3, 2), Fraction(1, 2)),
    2: (Fraction(7, 4), Fraction(1, 4)),
    3: (Fraction(15, 8), Fraction(1, 8)),
}
# In the time of how many is a group of p notes put? 0: three in compound metres, else two.
_NORMAL = {2: 3, 3: 2, 4: 3, 5: 0, 6: 2, 7: 0, 8: 3, 9: 0}


@dataclass(frozen=True, slots=True)
class Tuplet:
    """A running tuplet: (actual, normal), its factor, and the notes still to come."""

    ratio: tuple[int, int]
    factor: Fraction
    left: int

    @property
    def after_one(self) -> Tuplet | None:
        """The tuplet when one more note is read, None when it is full."""
        return Tuplet(self.ratio, self.factor, self.left - 1) if self.left > 1 else None


def read_tuplet(sign: str, is_compound: bool) -> Tuplet | None:
    """The tuplet of a sign such as ``(3``, ``(3::2``, ``(5:4:5``; None where it has no meaning."""
    numbers = [int(text) if text else 0 for text in sign[1:].split(":")] + [0, 0]
    actual, normal, count = numbers[:3]
    normal = normal or _NORMAL.get(actual, 2) or (3 if is_compound else 2)
    count = count or actual
    if actual < 2:
        return None
    return Tuplet((actual, normal), Fraction(normal, actual), count)
