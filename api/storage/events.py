"""Which jobs does the band have? Questions about events and their line-ups, and their keeping."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from sqlalchemy import or_
from sqlalchemy.orm import joinedload, selectinload
from sqlmodel import Session, col, select

from api.storage import earlier
from api.storage.convert import kept
from api.storage.convert_event import Pairs, event, event_record, write_event, write_line_up
from api.storage.database import BandId
from api.storage.event_tables import EventRow, LineUpRow
from api.storage.records import Answer, EventRecord, Kept
from api.storage.rows import find_row, row_to_change
from api.storage.tables import PersonRow
from planner.event.event import Event, Item

ITEMS: Any = EventRow.items
LINE_UP: Any = EventRow.line_up
PERSON: Any = LineUpRow.person
PAIRS: tuple[Any, ...] = (EventRow.outs, EventRow.harmony)
WITH_ITEMS = selectinload(ITEMS)
WITH_LINE_UP = (
    selectinload(LINE_UP).options(joinedload(PERSON)),
    *(selectinload(pairs) for pairs in PAIRS),
)
WITH_EVERYTHING = (WITH_ITEMS, *WITH_LINE_UP)


def list_events(session: Session, band: BandId) -> tuple[Kept[Event], ...]:
    """Every event of the band, the earliest day first, those without a day last."""
    asked = select(EventRow).where(EventRow.band_id == band).options(WITH_ITEMS)
    day = col(EventRow.day)
    rows = session.exec(asked.order_by(day.is_(None), day, col(EventRow.id)))
    return tuple(kept(row, event(row)) for row in rows)


def events_ahead(
    session: Session, band: BandId, today: date, most: int
) -> tuple[Kept[EventRecord], ...]:
    """The next events of the band with their line-ups, those without a day last."""
    day = col(EventRow.day)
    is_ahead = or_(day.is_(None), day >= today)
    joined = (joinedload(ITEMS), joinedload(PAIRS[0]), WITH_LINE_UP[0], *WITH_LINE_UP[2:])
    asked = select(EventRow).where(EventRow.band_id == band, is_ahead).options(*joined)
    found = session.exec(asked.order_by(day.is_(None), day, col(EventRow.id)).limit(most))
    rows = found.unique()
    return tuple(kept(row, event_record(row)) for row in rows)


def find_event(session: Session, band: BandId, number: int) -> Kept[EventRecord] | None:
    """One event with its line-up, None when the band has no such event."""
    joined = (joinedload(each) for each in (ITEMS, PAIRS[0]))
    row = find_row(session, EventRow, band, number, *joined, *WITH_LINE_UP[:1], *WITH_LINE_UP[2:])
    return None if row is None else kept(row, event_record(row))


def add_event(session: Session, band: BandId, planned: Event) -> Kept[EventRecord]:
    """Store a new event; its line-up is empty."""
    setting = planned.setting
    row = EventRow(
        band_id=band,
        name=planned.name,
        occasion=setting.occasion.value,
        sort=setting.sort.value,
        drums=setting.drums.value,
    )
    write_event(row, planned)
    session.add(row)
    session.flush()
    return kept(row, event_record(row))


def change_event(
    session: Session,
    band: BandId,
    number: int,
    seen: int | None,
    planned: Event,
    what: str = "",
    *,
    is_typing: bool = False,
) -> Kept[EventRecord]:
    """Change an event; its line-up stays, and its running order as it stood is kept for undo.

    Raises:
        NotFoundError: the band has no such event.
        StaleError: it has changed since ``seen``.
    """
    row = row_to_change(session, EventRow, band, number, seen, *WITH_EVERYTHING)
    if event(row).items != planned.items:
        earlier.keep_order(session, row, what, is_typing=is_typing)
    write_event(row, planned)
    return _changed(session, row)


def undo_order(
    session: Session, band: BandId, number: int, seen: int | None
) -> Kept[EventRecord] | None:
    """Make a running order what it was before its last change; None when nothing can be undone.

    Raises:
        NotFoundError: the band has no such event.
        StaleError: it has changed since ``seen``.
    """
    row = row_to_change(session, EventRow, band, number, seen, *WITH_EVERYTHING)
    return _changed(session, row) if earlier.put_back_order(session, row) else None


def order_before_typing(session: Session, number: int, version: int) -> tuple[Item, ...] | None:
    """How a running order stood before somebody began to type; None unless they still do."""
    return earlier.order_before_typing(session, number, version)


def last_change(session: Session, number: int) -> str | None:
    """What the last change of a running order did, in words; None when none can be undone."""
    return earlier.last_change(session, EventRow, number)


def change_line_up(
    session: Session,
    band: BandId,
    number: int,
    seen: int | None,
    answers: Iterable[Answer],
    outs: Pairs,
    harmony: Pairs,
) -> Kept[EventRecord]:
    """Change who plays at an event, who is out of which tune and who plays pipe harmony.

    Raises:
        NotFoundError: the band has no such event.
        StaleError: it has changed since ``seen``.
    """
    row = row_to_change(session, EventRow, band, number, seen, *WITH_EVERYTHING)
    write_line_up(row, answers, outs, harmony)
    return _changed(session, row)


def touch_event(session: Session, band: BandId, number: int, seen: int | None) -> Kept[Event]:
    """Count a change of something that belongs to an event, such as a mark by hand.

    Raises:
        NotFoundError: the band has no such event.
        StaleError: it has changed since ``seen``.
    """
    row = row_to_change(session, EventRow, band, number, seen, WITH_ITEMS)
    row.bump()
    session.flush()
    return kept(row, event(row))


def remove_event(session: Session, band: BandId, number: int, seen: int | None) -> None:
    """Remove an event with its running order, line-up, marks by hand, agreements and prints.

    Raises:
        NotFoundError: the band has no such event.
        StaleError: it has changed since ``seen``.
    """
    session.delete(row_to_change(session, EventRow, band, number, seen))
    session.flush()


def _changed(session: Session, row: EventRow) -> Kept[EventRecord]:
    row.bump()
    session.flush()
    numbers = [line.person_id for line in row.line_up]
    # Held until the record is made: each line then finds its person without asking again.
    people = session.exec(select(PersonRow).where(col(PersonRow.id).in_(numbers))).all()
    record = kept(row, event_record(row))
    del people
    return record
