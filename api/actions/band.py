"""What does a person do with the band itself? Look at it, and say how it is called and steps."""

from __future__ import annotations

from api.storage import band as stored
from api.storage.database import BandId, Session
from api.storage.records import BandRecord, Kept


def the_band(session: Session, band: BandId) -> Kept[BandRecord]:
    """The band's name, its usual place, and how it steps.

    Raises:
        NotFoundError: there is no such band.
    """
    return stored.find_band(session, band)


def change_band(
    session: Session, band: BandId, seen: int | None, record: BandRecord
) -> Kept[BandRecord]:
    """Change the band's name, place, step rate or pace.

    Raises:
        StaleError: it has changed since it was seen.
    """
    kept = stored.change_band(session, band, seen, record)
    session.commit()
    return kept
