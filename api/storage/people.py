"""Who is in the band? Questions about people, and their keeping."""

from __future__ import annotations

from sqlmodel import Session, col, select

from api.storage.convert import kept, person, write_person
from api.storage.database import BandId
from api.storage.event_tables import EventRow, LineUpRow
from api.storage.records import Kept
from api.storage.rows import find_row, row_to_change
from api.storage.tables import PersonRow
from planner.event.event import Person


def list_people(session: Session, band: BandId) -> tuple[Kept[Person], ...]:
    """Every person of the band by name."""
    asked = select(PersonRow).where(PersonRow.band_id == band)
    rows = session.exec(asked.order_by(col(PersonRow.name), col(PersonRow.id)))
    return tuple(kept(row, person(row)) for row in rows)


def find_person(session: Session, band: BandId, number: int) -> Kept[Person] | None:
    """One person, None when the band has no such person."""
    row = find_row(session, PersonRow, band, number)
    return None if row is None else kept(row, person(row))


def add_person(session: Session, band: BandId, member: Person) -> Kept[Person]:
    """Store a new person."""
    row = PersonRow(band_id=band, name=member.name, instrument=member.instrument.value)
    write_person(row, member)
    session.add(row)
    session.flush()
    return kept(row, person(row))


def change_person(
    session: Session, band: BandId, number: int, seen: int | None, member: Person
) -> Kept[Person]:
    """Change a person.

    Raises:
        NotFoundError: the band has no such person.
        StaleError: they have changed since ``seen``.
    """
    row = row_to_change(session, PersonRow, band, number, seen)
    write_person(row, member)
    row.bump()
    session.flush()
    return kept(row, person(row))


def remove_person(session: Session, band: BandId, number: int, seen: int | None) -> None:
    """Remove a person.

    Raises:
        NotFoundError: the band has no such person.
        StaleError: they have changed since ``seen``.
    """
    session.delete(row_to_change(session, PersonRow, band, number, seen))
    session.flush()


def events_with_person(session: Session, band: BandId, number: int) -> tuple[str, ...]:
    """The names of the events whose line-up has an answer of this person."""
    asked = (
        select(EventRow.name)
        .join(LineUpRow, col(LineUpRow.event_id) == col(EventRow.id))
        .where(EventRow.band_id == band, LineUpRow.person_id == number)
    )
    return tuple(session.exec(asked.distinct().order_by(EventRow.name)))
