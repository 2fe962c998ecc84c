"""What does a person do with the people of the band? Add, look, change, remove."""

from __future__ import annotations

from api.storage import people as stored
from api.storage.database import BandId, Session
from api.storage.faults import InUseError, NotFoundError
from api.storage.records import Kept
from planner.errors import RequestError
from planner.event.event import Person


def all_people(session: Session, band: BandId) -> tuple[Kept[Person], ...]:
    """Every person of the band by name."""
    return stored.list_people(session, band)


def one_person(session: Session, band: BandId, number: int) -> Kept[Person]:
    """One person.

    Raises:
        NotFoundError: the band has no such person.
    """
    kept = stored.find_person(session, band, number)
    if kept is None:
        raise NotFoundError("person", number)
    return kept


def add_person(session: Session, band: BandId, member: Person) -> Kept[Person]:
    """Store a new person; the key of ``member`` is not looked at.

    Raises:
        RequestError: somebody of the band has this name already.
    """
    _check_name(session, band, member)
    kept = stored.add_person(session, band, member)
    session.commit()
    return kept


def change_person(
    session: Session, band: BandId, number: int, seen: int | None, member: Person
) -> Kept[Person]:
    """Change a person.

    Raises:
        NotFoundError, StaleError: they are gone, or changed since they were seen.
        RequestError: somebody else of the band has this name already.
    """
    _check_name(session, band, member, number)
    kept = stored.change_person(session, band, number, seen, member)
    session.commit()
    return kept


def remove_person(session: Session, band: BandId, number: int, seen: int | None) -> None:
    """Remove a person whom no event's line-up names.

    Raises:
        NotFoundError, StaleError: they are gone, or changed since they were seen.
        InUseError: a line-up names them.
    """
    name = one_person(session, band, number).noun.name
    users = stored.events_with_person(session, band, number)
    if users:
        events = "the line-up of " + ", ".join(f"“{event}”" for event in users)
        raise InUseError("person", name, events, "take them out there first, then remove them")
    stored.remove_person(session, band, number, seen)
    session.commit()


def _check_name(session: Session, band: BandId, member: Person, number: int | None = None) -> None:
    """A name tells two people apart: on a card, in a list and at the call before an event."""
    wanted = " ".join(member.name.split()).casefold()
    for kept in stored.list_people(session, band):
        if kept.id != number and " ".join(kept.noun.name.split()).casefold() == wanted:
            problem = f"“{kept.noun.name}” is in the band already"
            raise RequestError("name", problem, "add a word that tells the two apart")
