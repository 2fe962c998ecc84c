"""What do the values of ``M:``, ``L:``, ``Q:`` and a note's length mean?

Every function answers None where the text makes no sense; the caller says so with line and remedy.
Lengths come out in crotchets.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from planner.music.tempo import Metre
from planner.notation.written import FREE_METRE

_METRE = re.compile(r"\(?\s*(\d{1,2}(?:\s*\+\s*\d{1,2})*)\s*\)?\s*/\s*(\d{1,3})")
_FRACTION = re.compile(r"(\d{1,4})\s*/\s*(\d{1,4})")
_LENGTH = re.compile(r"(\d{0,5})(?:(/+)(\d{0,5}))?")
_BEATS = re.compile(
    r"((?:\d{1,3}/\d{1,3}\s+)*\d{1,3}/\d{1,3})\s*=\s*(\d{1,6}(?:\.\d{1,20})?)(?!\d)(.*)"
)
_OLD_BEAT = re.compile(r"[Cc](\d{0,2}(?:/\d{0,2})?)\s*=\s*(\d{1,6}(?:\.\d{1,20})?)(?!\d)(.*)")
_NUMBER = re.compile(r"(\d{1,6}(?:\.\d{1,20})?)(?![\d/=])(.*)")
_UNITS = (1, 2, 4, 8, 16, 32, 64)


def read_metre(value: str) -> Metre | None:
    """The metre of an ``M:`` field; ``none`` and an empty value are the free metre."""
    text = value.strip()
    if text.lower() in ("none", ""):
        return FREE_METRE
    if text in ("C", "C|"):
        return Metre(4, 4, text) if text == "C" else Metre(2, 2, text)
    match = _METRE.fullmatch(text)
    if match is None:
        return None
    count = sum(int(number) for number in match.group(1).split("+"))
    unit = int(match.group(2))
    return Metre(count, unit) if count and unit in _UNITS else None


def read_unit(value: str) -> Fraction | None:
    """The unit note length of an ``L:`` field, in crotchets."""
    text = value.strip()
    if text == "1":
        return Fraction(4)
    match = _FRACTION.fullmatch(text)
    if match is None or not int(match.group(1)) or int(match.group(2)) not in (*_UNITS, 128, 256):
        return None
    return Fraction(4 * int(match.group(1)), int(match.group(2)))


def default_unit(metre: Metre) -> Fraction:
    """The unit note length where no ``L:`` is given: a semiquaver in metres under 3/4."""
    is_small = metre != FREE_METRE and Fraction(metre.count, metre.unit) < Fraction(3, 4)
    return Fraction(1, 4) if is_small else Fraction(1, 2)


@lru_cache(maxsize=2048)
def read_length(text: str) -> Fraction | None:
    """The multiple of the unit that a note's length stands for: ``3/2``, ``/``, ``//``, ``4``."""
    match = _LENGTH.fullmatch(text)
    if match is None:
        return None
    whole, slashes, below = match.group(1), match.group(2) or "", match.group(3) or ""
    upper = int(whole) if whole else 1
    lower = int(below) if below else 2 ** min(len(slashes), 10)
    return Fraction(upper, lower) if upper and lower else None


@dataclass(frozen=True, slots=True)
class TempoWords:
    """A ``Q:`` field: crotchets a minute (None where only words stand there), and its doubts."""

    crotchets_a_minute: Fraction | None
    text: str = ""
    doubt: str = ""


def read_tempo(value: str, unit: Fraction) -> TempoWords | None:
    """The tempo of a ``Q:`` field in any form of the standard, old ones included.

    ``unit`` is the unit note length in crotchets, which the old forms count in.
    """
    words = " ".join(re.findall(r'"([^"]*)"', value))
    text = re.sub(r'"[^"]*"', " ", value).strip()
    if not text:
        return TempoWords(None, words) if words else None
    beat = _beat_and_rate(text, unit)
    if beat is None or not beat[0] or not beat[1]:
        return None
    length, rate, rest = beat
    doubt = f"only the first figure of {value.strip()} is taken" if rest.strip() else ""
    return TempoWords(length * rate, words, doubt)


def _beat_and_rate(text: str, unit: Fraction) -> tuple[Fraction, Fraction, str] | None:
    if match := _BEATS.fullmatch(text):
        beats = [pair.split("/") for pair in match.group(1).split()]
        if any(not int(lower) for _, lower in beats):
            return None
        length = sum((Fraction(4 * int(top), int(low)) for top, low in beats), Fraction(0))
        return length, Fraction(match.group(2)), match.group(3)
    if match := _OLD_BEAT.fullmatch(text):
        multiple = read_length(match.group(1))
        return (multiple * unit, Fraction(match.group(2)), match.group(3)) if multiple else None
    if match := _NUMBER.fullmatch(text):
        return unit, Fraction(match.group(1)), match.group(2)
    return None
