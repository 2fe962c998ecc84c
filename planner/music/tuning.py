"""How high does each note of the chanter sound?

The chanter is tuned to its drones, so its notes are simple ratios to low A. Which ratio a note has
differs between makers and times; ``HARMONIC`` is the common one, and a caller may lay others over
it. Frequencies are in hertz; low A is whatever the band is tuned to today.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType

#: Which ratio to low A has each note on a chanter of today? Source: chanter_scales_1998.
HARMONIC: Mapping[str, Fraction] = MappingProxyType(
    {
        "low G": Fraction(7, 8),
        "low A": Fraction(1),
        "B": Fraction(9, 8),
        "C": Fraction(5, 4),
        "D": Fraction(4, 3),
        "E": Fraction(3, 2),
        "F": Fraction(5, 3),
        "high G": Fraction(7, 4),
        "high A": Fraction(2),
    }
)
#: And which had it about 1954, where that differs? Source: lenihan_macneill_1954.
OF_1954: Mapping[str, Fraction] = MappingProxyType(
    {"low G": Fraction(8, 9), "D": Fraction(27, 20), "high G": Fraction(9, 5)}
)


#: Between which frequencies in Hz has a chanter its low A? Design choice, wide on either side.
LOW_A_RANGE_HZ = (400.0, 520.0)


def chanter_scale(low_a_hz: float) -> dict[str, float]:
    """Frequency in hertz of each of the nine notes, from low G up."""
    return {name: sounding_hz(name, low_a_hz) for name in HARMONIC}


def sounding_hz(
    name: str, low_a_hz: float, own_ratios: Mapping[str, Fraction] = MappingProxyType({})
) -> float:
    """Frequency in hertz of a note of the chanter where low A sounds at ``low_a_hz``.

    ``own_ratios`` go before the usual ones.

    Raises:
        KeyError: ``name`` is not one of the nine notes.

    >>> sounding_hz("E", 480.0), sounding_hz("D", 480.0, OF_1954)
    (720.0, 648.0)
    """
    ratio = own_ratios.get(name, HARMONIC[name])
    return low_a_hz * ratio.numerator / ratio.denominator
