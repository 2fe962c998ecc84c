"""Which sets does the band have? Questions about sets, and their keeping."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from sqlalchemy import func, or_
from sqlalchemy.orm import joinedload, selectinload
from sqlmodel import Session, col, select

from api.storage import earlier
from api.storage.convert import kept, planned_set, write_set
from api.storage.database import BandId
from api.storage.event_tables import EventRow, ItemRow
from api.storage.records import Kept
from api.storage.rows import find_row, row_to_change
from api.storage.shelf import plain_words
from api.storage.tables import EntryRow, SetRow, ShelfRow
from planner.event.contest.rulesets import ruleset_name
from planner.event.event import Occasion, Set

ENTRIES: Any = SetRow.entries
WITH_ENTRIES = selectinload(ENTRIES)
BY_NUMBER = (col(SetRow.number), col(SetRow.name), col(SetRow.id))


def list_sets(session: Session, band: BandId) -> tuple[Kept[Set], ...]:
    """Every set of the band by number and name."""
    asked = select(SetRow).where(SetRow.band_id == band).options(WITH_ENTRIES)
    rows = session.exec(asked.order_by(*BY_NUMBER))
    return tuple(kept(row, planned_set(row)) for row in rows)


def some_sets(
    session: Session, band: BandId, first: int, count: int
) -> tuple[tuple[Kept[Set], ...], int]:
    """So many sets by number and name, from a place counted from 0, and how many there are."""
    total = session.exec(select(func.count()).where(SetRow.band_id == band)).one()
    asked = select(SetRow).where(SetRow.band_id == band).options(WITH_ENTRIES)
    rows = session.exec(asked.order_by(*BY_NUMBER).offset(first).limit(count))
    return tuple(kept(row, planned_set(row)) for row in rows), total


def search_sets(
    session: Session, band: BandId, words: str, first: int, count: int
) -> tuple[tuple[tuple[str, int, str, Occasion | None], ...], int]:
    """Some sets as (key, number, name, occasion) from a place on, and how many were found.

    Each word is in the number, the name, or the title or composer of one of its tunes.
    """
    wanted: list[Any] = [SetRow.band_id == band, *(_has(word) for word in words.split())]
    total = session.exec(select(func.count()).select_from(SetRow).where(*wanted)).one()
    asked = select(SetRow).where(*wanted).order_by(*BY_NUMBER).offset(first).limit(count)
    found = tuple(
        (str(row.id), row.number, row.name, Occasion(row.occasion) if row.occasion else None)
        for row in session.exec(asked)
    )
    return found, total


def _has(word: str) -> Any:
    plain = plain_words(word)
    tunes = (
        select(EntryRow.set_id)
        .join(ShelfRow, col(ShelfRow.tune_id) == col(EntryRow.tune_id))
        .where(col(ShelfRow.words).contains(plain, autoescape=True))
    )
    name: Any = func.lower(SetRow.name)
    ways = [name.contains(word.lower(), autoescape=True), col(SetRow.id).in_(tunes)]
    if word.isascii() and word.isdigit() and len(word) < 5:
        ways.append(col(SetRow.number) == int(word))
    return or_(*ways)


def highest_number(session: Session, band: BandId) -> int:
    """The highest number that a set of the band is called by; 0 where there is no set."""
    found = session.exec(select(func.max(SetRow.number)).where(SetRow.band_id == band)).one()
    return found or 0


def sets_by_number(session: Session, band: BandId, numbers: Sequence[int]) -> dict[str, Set]:
    """These sets of the band by their key."""
    asked = select(SetRow).where(SetRow.band_id == band, col(SetRow.id).in_(numbers))
    rows = session.exec(asked.options(joinedload(ENTRIES))).unique()
    return {str(row.id): planned_set(row) for row in rows}


def find_set(session: Session, band: BandId, number: int) -> Kept[Set] | None:
    """One set, None when the band has no such set."""
    row = find_row(session, SetRow, band, number, WITH_ENTRIES)
    return None if row is None else kept(row, planned_set(row))


def add_set(session: Session, band: BandId, planned: Set) -> Kept[Set]:
    """Store a new set."""
    row = SetRow(band_id=band, number=planned.number, name=planned.name)
    write_set(row, planned)
    session.add(row)
    session.flush()
    return kept(row, planned_set(row))


def change_set(
    session: Session,
    band: BandId,
    number: int,
    seen: int | None,
    planned: Set,
    what: str = "",
    *,
    is_typing: bool = False,
) -> Kept[Set]:
    """Change a set; how it stood is kept under the words of the change, ``what``.

    Raises:
        NotFoundError: the band has no such set.
        StaleError: it has changed since ``seen``.
    """
    row = row_to_change(session, SetRow, band, number, seen, WITH_ENTRIES)
    if planned_set(row) != replace(planned, key=str(row.id)):
        earlier.keep_set(session, row, what, is_typing=is_typing)
    write_set(row, planned)
    row.bump()
    session.flush()
    return kept(row, planned_set(row))


def undo_set(session: Session, band: BandId, number: int, seen: int | None) -> bool:
    """Make a set what it was before its last change; False when nothing can be undone.

    Raises:
        NotFoundError: the band has no such set.
        StaleError: it has changed since ``seen``.
    """
    row = row_to_change(session, SetRow, band, number, seen, WITH_ENTRIES)
    if not earlier.put_back_set(session, row):
        return False
    row.bump()
    session.flush()
    return True


def last_change(session: Session, number: int) -> str | None:
    """What the last change of a set did, in words; None when nothing can be undone."""
    return earlier.last_change(session, SetRow, number)


def remove_set(session: Session, band: BandId, number: int, seen: int | None) -> None:
    """Remove a set with its entries.

    Raises:
        NotFoundError: the band has no such set.
        StaleError: it has changed since ``seen``.
    """
    session.delete(row_to_change(session, SetRow, band, number, seen, WITH_ENTRIES))
    session.flush()


def sets_under(session: Session, band: BandId, ruleset: str) -> tuple[str, ...]:
    """The names of the sets that are entered under contest rules of this name."""
    return tuple(row.name for row in _entered(session, band, ruleset))


def enter_under(session: Session, band: BandId, before: str, after: str) -> None:
    """Let the sets that are entered under one name be entered under another."""
    for row in _entered(session, band, before):
        row.ruleset = after
        row.bump()
    session.flush()


def _entered(session: Session, band: BandId, ruleset: str) -> list[SetRow]:
    asked = select(SetRow).where(SetRow.band_id == band, SetRow.ruleset != "")
    rows = session.exec(asked.order_by(SetRow.name).with_for_update())
    return [row for row in rows if ruleset_name(row.ruleset) == ruleset]


def events_with_set(session: Session, band: BandId, number: int) -> tuple[str, ...]:
    """The names of the events a set is played at."""
    asked = (
        select(EventRow.name)
        .join(ItemRow, col(ItemRow.event_id) == col(EventRow.id))
        .where(EventRow.band_id == band, ItemRow.set_id == number)
    )
    return tuple(session.exec(asked.distinct().order_by(EventRow.name)))
