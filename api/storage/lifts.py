"""Which ceilings did a named person lift, for which tune at which event?"""

from __future__ import annotations

from collections.abc import Sequence

from sqlmodel import Session, col, select

from api.storage.database import BandId
from api.storage.event_tables import LiftRow
from api.storage.faults import NotFoundError
from api.storage.records import Lift
from api.storage.row import now


def lifts_of_events(session: Session, band: BandId, events: Sequence[int]) -> tuple[Lift, ...]:
    """The lifts of several events."""
    asked = select(LiftRow).where(LiftRow.band_id == band, col(LiftRow.event_id).in_(events))
    return tuple(_lift(row) for row in session.exec(asked.order_by(col(LiftRow.id))))


def keep_lift(session: Session, band: BandId, lift: Lift) -> Lift:
    """Store a lift in place of an earlier one for the same tune and event."""
    row = _row(session, band, lift.event_key, lift.tune_key)
    if row is None:
        event, tune = int(lift.event_key), int(lift.tune_key)
        row = LiftRow(band_id=band, event_id=event, tune_id=tune, lifted_by=lift.lifted_by)
        session.add(row)
    row.levels, row.lifted_by, row.lifted_at = dict(lift.levels), lift.lifted_by, now()
    session.flush()
    return _lift(row)


def drop_lift(session: Session, band: BandId, event_key: str, tune_key: str) -> None:
    """Take a lift back.

    Raises:
        NotFoundError: nobody has lifted a ceiling there.
    """
    row = _row(session, band, event_key, tune_key)
    if row is None:
        raise NotFoundError("lifted ceiling of tune", tune_key)
    session.delete(row)
    session.flush()


def _row(session: Session, band: BandId, event_key: str, tune_key: str) -> LiftRow | None:
    asked = select(LiftRow).where(
        LiftRow.band_id == band,
        LiftRow.event_id == int(event_key),
        LiftRow.tune_id == int(tune_key),
    )
    return session.exec(asked.with_for_update()).first()


def _lift(row: LiftRow) -> Lift:
    levels = tuple(sorted(row.levels.items()))
    return Lift(str(row.event_id), str(row.tune_id), levels, row.lifted_by, row.lifted_at)
