"""Is this a length, a time or a tempo one can reckon with?

Every sum of this folder asks here before it divides, so that a slip of the pen becomes one
sentence. Numbers become exact Fractions here: 86.5 is 173/2, not the nearest binary number.
"""

from __future__ import annotations

from fractions import Fraction
from math import isfinite

from planner.errors import RequestError


def positive(field: str, value: float | Fraction, example: str) -> Fraction:
    """The exact value of a number that must be above zero.

    Raises:
        RequestError: zero, negative, or no number; ``example`` says what would be right.
    """
    exact = _exact(field, value, example)
    if exact <= 0:
        raise RequestError(field, f"{plain(value)} is not above zero", f"give {example}")
    return exact


def not_negative(field: str, value: float | Fraction, example: str) -> Fraction:
    """The exact value of a number that may be zero but not less.

    Raises:
        RequestError: negative, or no number.
    """
    exact = _exact(field, value, example)
    if exact < 0:
        raise RequestError(field, f"{plain(value)} is below zero", f"give {example}")
    return exact


def plain(value: float | Fraction) -> str:
    """A number for reading: ``86``, ``0.762``, at most three decimals."""
    text = f"{float(value):.3f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def lower_start(sentence: str) -> str:
    """A sentence to go on with: ``over by 6 s``."""
    return sentence[:1].lower() + sentence[1:]


def minutes_and_seconds(seconds: float | Fraction) -> str:
    """A length for reading, to the nearest second: ``4:25``."""
    whole = round(seconds)
    return f"{whole // 60}:{whole % 60:02d}"


def _exact(field: str, value: float | Fraction, example: str) -> Fraction:
    if not isfinite(value):
        raise RequestError(field, f"{value} is not a number to reckon with", f"give {example}")
    return Fraction(str(value))
