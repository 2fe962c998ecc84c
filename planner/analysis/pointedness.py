"""How pointed is a rhythm?

One figure for a whole tune says less than it seems: it mostly follows the share of equal
neighbours. It means more for lengths as played than for lengths as written, and it is a fair
measure of what an idiom's pointing does to one and the same tune.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise


def npvi(lengths_ms: Sequence[float]) -> float:
    """The normalised pairwise variability index of a row of lengths, 0 (even) to below 200.

    ``100 / (m - 1)`` times the sum, over neighbours, of their difference against their mean. Any
    unit will do, all lengths in the same one; fewer than two lengths have no contrast, which is 0.
    Source: daniele_patel_2013.

    Raises:
        ValueError: a length is not longer than nothing.

    >>> npvi([3, 1, 3, 1])
    100.0
    """
    if any(length <= 0 for length in lengths_ms):
        raise ValueError("every length must be longer than nothing")
    contrasts = [200.0 * abs(one - next_) / (one + next_) for one, next_ in pairwise(lengths_ms)]
    return sum(contrasts) / len(contrasts) if contrasts else 0.0
