"""The people of the band over HTTP: add, look, change, remove."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated

from fastapi import Response
from pydantic import Field

from api.actions import people as act
from api.actions.records import Kept
from api.dependencies import BandDep, SeenVersionDep, SessionDep
from api.routes.etag import created, tag
from api.routes.form import Answer, Form, LineText, NameText, RowNumber
from api.routes.later import LaterRouter
from planner.event.event import Instrument, Person

router = LaterRouter(prefix="/people", tags=["people"])


class PersonForm(Form):
    """A member of the band; ``rung`` is their control of the beat from 1 to 4, if known."""

    name: NameText
    instrument: Instrument
    is_learner: bool = False
    rung: Annotated[int, Field(ge=1, le=4)] | None = None
    role: LineText = ""

    def person(self, key: str = "") -> Person:
        """The person as the engine knows them."""
        return Person(key, **dict(self))


class PersonAnswer(Answer):
    """A member of the band."""

    key: str
    version: int
    changed_at: datetime
    name: str
    instrument: Instrument
    is_learner: bool
    rung: int | None
    role: str


def person_answer(kept: Kept[Person]) -> PersonAnswer:
    """A person as they are read back."""
    member = kept.noun
    return PersonAnswer(
        key=member.key,
        version=kept.version,
        changed_at=kept.changed_at,
        name=member.name,
        instrument=member.instrument,
        is_learner=member.is_learner,
        rung=member.rung,
        role=member.role,
    )


@router.get("")
def list_people(session: SessionDep, band: BandDep) -> list[PersonAnswer]:
    """Every person of the band, by name."""
    return [person_answer(kept) for kept in act.all_people(session, band)]


@router.post("", status_code=201)
def create_person(
    form: PersonForm, session: SessionDep, band: BandDep, response: Response
) -> PersonAnswer:
    """Store a new person."""
    kept = act.add_person(session, band, form.person())
    created(response, f"/api/people/{kept.id}", kept.version)
    return person_answer(kept)


@router.get("/{number}")
def get_person(
    number: RowNumber, session: SessionDep, band: BandDep, response: Response
) -> PersonAnswer:
    """One person."""
    kept = act.one_person(session, band, number)
    tag(response, kept.version)
    return person_answer(kept)


@router.put("/{number}")
def change_person(
    number: RowNumber,
    form: PersonForm,
    session: SessionDep,
    band: BandDep,
    seen: SeenVersionDep,
    response: Response,
) -> PersonAnswer:
    """Change a person."""
    kept = act.change_person(session, band, number, seen, form.person(str(number)))
    tag(response, kept.version)
    return person_answer(kept)


@router.delete("/{number}", status_code=204)
def remove_person(
    number: RowNumber, session: SessionDep, band: BandDep, seen: SeenVersionDep
) -> None:
    """Remove a person whom no line-up names."""
    act.remove_person(session, band, number, seen)
