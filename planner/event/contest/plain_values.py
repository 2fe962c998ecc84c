"""Is a plain value what its field needs: text, a whole number, a time?

For tables that come from a file or a form. Each refusal is one sentence that names the field.
"""

from __future__ import annotations

from typing import Any

from planner.errors import RequestError

LONGEST_S = 2 * 3600
"""No contest lasts longer than two hours."""


def read_text(name: str, value: Any, longest: int) -> str:
    """Text without blanks around it.

    Raises:
        RequestError: it is no text, too long, or holds signs that cannot be kept.
    """
    if not isinstance(value, str):
        raise RequestError(name, f"{value!r} is no text", "put it in quotation marks")
    if len(value) > longest or not value.replace("\n", " ").isprintable():
        remedy = f"write plain text of {longest} letters at most"
        raise RequestError(name, "it cannot be kept", remedy)
    return value.strip()


def read_whole(name: str, value: Any, low: int, high: int) -> int:
    """A whole number within its bounds.

    Raises:
        RequestError: it is none, or outside them.
    """
    is_whole = isinstance(value, int) and not isinstance(value, bool)
    if not is_whole or not low <= value <= high:
        raise RequestError(name, f"{value!r} is not right", f"give a whole number, {low} to {high}")
    return int(value)


def read_seconds(name: str, value: Any) -> float:
    """Seconds from a number, or from minutes and seconds as ``4:30``.

    Raises:
        RequestError: it is neither, or more than two hours.
    """
    found = _of_clock(value) if isinstance(value, str) else value
    is_number = isinstance(found, int | float) and not isinstance(found, bool)
    seconds = float(found) if is_number and found is not None else -1.0
    if not 0 < seconds <= LONGEST_S:  # neither is what is no number at all
        raise RequestError(name, f"{value!r} is no time", "give seconds, or minutes as 4:30")
    return seconds


def _of_clock(text: str) -> float | None:
    minutes, colon, seconds = text.strip().rpartition(":")
    digits = (minutes, seconds) if colon else (seconds,)
    if not all(each.isascii() and each.isdigit() and len(each) < 6 for each in digits):
        return None
    if colon and int(seconds) > 59:
        return None
    return 60 * int(minutes or 0) + int(seconds)
