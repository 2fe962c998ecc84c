"""What does a person do with a running order? Put items in order, and take the last change back."""

from __future__ import annotations

from dataclasses import dataclass

from api.actions import day
from api.actions.changes import SOME_CHANGE, Change, change_of_order
from api.storage import events as stored
from api.storage import sets as stored_sets
from api.storage.database import BandId, Session
from api.storage.records import EventRecord, Kept
from planner.event.event import Item, Occasion

A_FEW = 10
"""How many sets stand on one page where a set is chosen?"""


@dataclass(frozen=True, slots=True)
class FoundSet:
    """A set that can be put into a running order."""

    key: str
    number: int
    name: str
    occasion: Occasion | None


def find_sets(
    session: Session, band: BandId, words: str, page: int
) -> tuple[tuple[FoundSet, ...], int]:
    """One page (from 1) of the sets with these words in number, name or tunes, and their count."""
    found, count = stored_sets.search_sets(session, band, words, (page - 1) * A_FEW, A_FEW)
    return tuple(FoundSet(*each) for each in found), count


def change_order(
    session: Session,
    band: BandId,
    number: int,
    seen: int | None,
    items: tuple[Item, ...],
    change: Change = SOME_CHANGE,
) -> Kept[EventRecord]:
    """Put another running order in place of the present one; ``change`` says what was done.

    Raises:
        NotFoundError, StaleError: the event is gone, or changed since it was seen.
        RequestError: an item names a set that is not there.
    """
    return day.put_order(session, band, number, seen, items, change)


def undo_order(session: Session, band: BandId, number: int, seen: int | None) -> bool:
    """Put a running order back to how it stood before its last change; False when none was.

    Raises:
        NotFoundError, StaleError: the event is gone, or changed since it was seen.
    """
    return day.undo_order(session, band, number, seen)


def last_change(session: Session, number: int) -> str | None:
    """What undo would take back, in words; None when there is nothing."""
    return stored.last_change(session, number)


def change_of_items(
    before: tuple[Item, ...], after: tuple[Item, ...], names: dict[str, str]
) -> Change:
    """What was done to a running order; ``names`` of the sets by key."""
    moved = change_of_order(
        [_named(item) for item in before], [_named(item) for item in after], names
    )
    return moved or Change("what was typed for the running order", is_typing=True)


def _named(item: Item) -> str:
    return item.set_key or item.text
