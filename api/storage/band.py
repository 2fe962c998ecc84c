"""Who is the band? Its name, its usual place, and how it steps."""

from __future__ import annotations

from sqlmodel import Session, select

from api.storage.convert import kept
from api.storage.database import BandId
from api.storage.faults import NotFoundError, StaleError
from api.storage.records import BandRecord, Kept
from api.storage.tables import BandRow


def find_band(session: Session, band: BandId) -> Kept[BandRecord]:
    """The band.

    Raises:
        NotFoundError: there is no such band.
    """
    row = _row(session, band)
    return kept(row, _record(row))


def change_band(
    session: Session, band: BandId, seen: int | None, record: BandRecord
) -> Kept[BandRecord]:
    """Change what the band is called and how it steps.

    Raises:
        NotFoundError: there is no such band.
        StaleError: it has changed since ``seen``.
    """
    row = _row(session, band)
    if seen is not None and seen != row.version:
        raise StaleError("band", seen, row.version)
    row.name, row.place = record.name, record.place
    row.steps_per_minute, row.pace_m = record.steps_per_minute, record.pace_m
    row.bump()
    session.flush()
    return kept(row, _record(row))


def _row(session: Session, band: BandId) -> BandRow:
    row = session.exec(select(BandRow).where(BandRow.id == band).with_for_update()).one_or_none()
    if row is None:
        raise NotFoundError("band", band)
    return row


def _record(row: BandRow) -> BandRecord:
    return BandRecord(row.name, row.place, row.steps_per_minute, row.pace_m)
