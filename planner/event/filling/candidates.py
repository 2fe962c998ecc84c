"""What might be played, as a running order looks at it?

An item meets its neighbours at its two ends: the first tune of a set may be a march and its last a
reel. How well it opens or closes a concert is said of the whole item.
"""

from __future__ import annotations

from dataclasses import dataclass

from planner.event.joins import Neighbour


@dataclass(frozen=True, slots=True)
class End:
    """The first or the last tune of an item. Drums alone have nothing in common with anybody."""

    tune: Neighbour | None = None
    idiom: str = ""


@dataclass(frozen=True, slots=True)
class Candidate:
    """An item that might be played. ``worth`` is a whole number: how much it is wanted.

    ``tunes`` are the keys of its tunes, since no tune is played twice. ``closes`` None means that
    it ends as it opens.
    """

    key: str
    name: str
    seconds: float
    worth: int = 1
    tunes: frozenset[str] = frozenset()
    opens: End = End()
    closes: End | None = None
    is_required: bool = False
    is_easy: bool = True
    is_strong: bool = True
    is_known: bool = True

    @property
    def last(self) -> End:
        """How it meets the item after it."""
        return self.closes or self.opens
