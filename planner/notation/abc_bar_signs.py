"""What does a bar line of an ABC tune say: plain, double, repeat, ending?

The standard (4.8) asks readers to be liberal about the shapes; everything with a colon before the
line ends a repeat, with a colon after it begins one, and two or more lines are a double bar.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

MOST_PASSES = 8


@dataclass(frozen=True, slots=True)
class BarSign:
    """``opens`` and ``closes``: times a repeat that begins or ends here is played, else 0."""

    opens: int = 0
    closes: int = 0
    is_double: bool = False


@lru_cache(maxsize=256)
def read_bar_sign(sign: str) -> BarSign | None:
    """The meaning of a bar line such as ``|``, ``:|``, ``|::`` or ``:||:``; None for a riddle."""
    lines = sign.lstrip(".")
    if "|" not in lines:
        return BarSign(opens=2, closes=2, is_double=True)
    inner = lines.strip(":")
    if ":" in inner:
        return None
    before = len(lines) - len(lines.lstrip(":"))
    after = len(lines) - len(lines.rstrip(":"))
    is_double = inner.count("|") > 1 or "[" in inner or "]" in inner
    return BarSign(
        opens=after + 1 if after else 0,
        closes=before + 1 if before else 0,
        is_double=is_double or bool(before or after),
    )


@lru_cache(maxsize=256)
def read_passes(text: str) -> tuple[int, ...] | None:
    """The passes an ending is for: ``1``, ``1,3``, ``1-3``; None where that makes no sense."""
    passes: list[int] = []
    for piece in text.split(","):
        first, _, last = piece.partition("-")
        low, high = int(first), int(last or first)
        if not 1 <= low <= high <= MOST_PASSES:
            return None
        passes += range(low, high + 1)
    return tuple(sorted(set(passes)))
