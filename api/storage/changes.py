"""What did changes of an event change? Sentences by the version they made."""

from __future__ import annotations

from collections.abc import Sequence

from sqlmodel import Session, col, delete, select

from api.storage.database import BandId
from api.storage.event_tables import ChangeRow
from api.storage.records import ToldChange


def add_change(
    session: Session, band: BandId, event: int, version: int, said: Sequence[str]
) -> None:
    """Keep what a change changed."""
    session.add(ChangeRow(band_id=band, event_id=event, event_version=version, said=list(said)))
    session.flush()


def drop_change(session: Session, band: BandId, event: int, version: int) -> None:
    """Forget what the change to this version changed: it has gone on."""
    session.execute(
        delete(ChangeRow).where(
            col(ChangeRow.band_id) == band,
            col(ChangeRow.event_id) == event,
            col(ChangeRow.event_version) == version,
        )
    )


def changes_of_event(
    session: Session, band: BandId, event: int, most: int
) -> tuple[ToldChange, ...]:
    """The latest changes of an event, the newest first."""
    asked = select(ChangeRow).where(ChangeRow.band_id == band, ChangeRow.event_id == event)
    rows = session.exec(asked.order_by(col(ChangeRow.id).desc()).limit(most))
    return tuple(ToldChange(row.event_version, tuple(row.said), row.changed_at) for row in rows)
