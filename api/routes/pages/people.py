"""The pages of people: everybody, somebody new, somebody."""

from __future__ import annotations

from datetime import date
from typing import Any

from fastapi.responses import Response

from api.actions import people as act
from api.actions.events import all_events
from api.actions.records import Kept
from api.display.form import FormView
from api.display.people import INSTRUMENTS, RUNGS, PersonView, people_view, person_form, person_view
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.typed import Typed, TypedDep
from api.routes.pages.visit import Visit, VisitDep
from api.routes.people import PersonForm
from planner.event.event import Person

router = LaterRouter(prefix="/people")

NEW = "/people/new"
CHOICES: dict[str, Any] = {"instruments": INSTRUMENTS, "rungs": RUNGS}
FIELDS = ("name", "instrument", "role", "rung", "is_learner")


@router.get("")
def people(visit: VisitDep) -> Response:
    """Everybody, by instrument."""
    everybody = act.all_people(visit.session, visit.band)
    return visit.show("pages/people.html", view=people_view(kept.noun for kept in everybody))


@router.get("/new")
def new_person(visit: VisitDep) -> Response:
    """The form for somebody new."""
    return visit.show("pages/person_new.html", form=FormView(NEW), **CHOICES)


@router.post("/new")
def add_person(visit: VisitDep, typed: TypedDep) -> Response:
    """Somebody joins."""
    visit.expects("pages/person_new.html", typed.form(NEW), FIELDS, **CHOICES)
    act.add_person(visit.session, visit.band, checked(typed).person())
    return visit.go("/people", "added")


@router.get("/{number}")
def person(number: RowNumber, visit: VisitDep) -> Response:
    """One person: what they play, and their cards."""
    kept = act.one_person(visit.session, visit.band, number)
    form = person_form(kept.noun, f"/people/{number}", kept.version)
    return visit.show("pages/person.html", view=_view(visit, kept), form=form, **CHOICES)


@router.post("/{number}")
def change_person(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Change what is known of a person."""
    address = f"/people/{number}"
    kept = act.one_person(visit.session, visit.band, number)
    view = _view(visit, kept)
    visit.expects("pages/person.html", typed.form(address, address), FIELDS, view=view, **CHOICES)
    member, seen = checked(typed).person(str(number)), typed.seen_version()
    act.change_person(visit.session, visit.band, number, seen, member)
    return visit.go(address, "saved")


@router.post("/{number}/delete")
def remove_person(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Somebody leaves."""
    act.remove_person(visit.session, visit.band, number, typed.seen_version())
    return visit.go("/people", "removed")


def checked(typed: Typed) -> PersonForm:
    """What was typed, checked."""
    return PersonForm.model_validate(typed.tree())


def _view(visit: Visit, kept: Kept[Person]) -> PersonView:
    today = date.today()
    events = (each.noun for each in all_events(visit.session, visit.band))
    ahead = [event for event in events if event.day is None or event.day >= today]
    return person_view(kept.noun, kept.version, ahead)
