"""How far has each person learnt each tune? What nobody has said is not in here."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from sqlmodel import Session, col, select

from api.storage.convert import kept, person
from api.storage.database import BandId
from api.storage.records import Kept, Learnt
from api.storage.rows import row_to_change
from api.storage.tables import PersonRow, ReadinessRow
from planner.event.event import Person


def list_readiness(
    session: Session, band: BandId, tunes: Collection[str] | None = None
) -> tuple[Learnt, ...]:
    """What is known of every person of the band and every tune, or of these tunes (keys)."""
    asked = select(ReadinessRow).where(ReadinessRow.band_id == band)
    if tunes is not None:
        asked = asked.where(col(ReadinessRow.tune_id).in_(sorted(map(int, tunes))))
    rows = session.exec(asked.order_by(col(ReadinessRow.person_id), col(ReadinessRow.tune_id)))
    return tuple(Learnt(str(row.person_id), str(row.tune_id), row.level) for row in rows)


def change_readiness(
    session: Session, band: BandId, number: int, seen: int | None, levels: Mapping[str, str]
) -> Kept[Person]:
    """Write down how far a person has learnt tunes (level by tune key); others stay as they are.

    An empty level means that nobody has said.

    Raises:
        NotFoundError: the band has no such person.
        StaleError: they have changed since ``seen``.
    """
    row = row_to_change(session, PersonRow, band, number, seen)
    asked = select(ReadinessRow).where(ReadinessRow.person_id == number)
    present = {str(each.tune_id): each for each in session.exec(asked)}
    for key, level in levels.items():
        line = present.get(key) or ReadinessRow(
            band_id=band, person_id=number, tune_id=int(key), level=level
        )
        line.level = level
        if level:
            session.add(line)
        elif key in present:
            session.delete(line)
    row.bump()
    session.flush()
    return kept(row, person(row))
