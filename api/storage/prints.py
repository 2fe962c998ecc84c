"""What was printed, and at which version? So that old sheets can be told from new ones."""

from __future__ import annotations

from sqlmodel import Session, col, select

from api.storage.database import BandId
from api.storage.event_tables import PrintRow
from api.storage.records import Printed


def prints_of_event(session: Session, band: BandId, event: int) -> tuple[Printed, ...]:
    """Every print of an event, the latest first."""
    asked = select(PrintRow).where(PrintRow.band_id == band, PrintRow.event_id == event)
    return tuple(_printed(row) for row in session.exec(asked.order_by(col(PrintRow.id).desc())))


def last_print(session: Session, band: BandId, event: int, sheet: str) -> Printed | None:
    """The latest print of one sheet of an event, None when it never was printed."""
    asked = select(PrintRow).where(
        PrintRow.band_id == band, PrintRow.event_id == event, PrintRow.sheet == sheet
    )
    row = session.exec(asked.order_by(col(PrintRow.id).desc())).first()
    return None if row is None else _printed(row)


def add_print(session: Session, band: BandId, printed: Printed) -> Printed:
    """Note that a sheet was printed."""
    row = PrintRow(
        band_id=band,
        event_id=int(printed.event_key),
        sheet=printed.sheet,
        for_whom=printed.for_whom,
        event_version=printed.event_version,
        content_hash=printed.content_hash,
        contents=printed.contents,
    )
    session.add(row)
    session.flush()
    return _printed(row)


def _printed(row: PrintRow) -> Printed:
    return Printed(
        event_key=str(row.event_id),
        sheet=row.sheet,
        event_version=row.event_version,
        content_hash=row.content_hash,
        for_whom=row.for_whom,
        contents=row.contents,
        printed_at=row.printed_at,
    )
