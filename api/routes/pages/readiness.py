"""The pages of who has learnt what: the grid, and the form of one person, some tunes at a time."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import Depends, Query
from fastapi.responses import Response

from api.actions import readiness as act
from api.actions.people import all_people, one_person
from api.actions.shelf import Looking, look_for
from api.display.form import FormView
from api.display.pages.readiness import (
    TunesOfPageView,
    grid_view,
    level_choices,
    readiness_form,
    tunes_of_page,
)
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.looking import Word, on_shelf
from api.routes.pages.typed import TypedDep
from api.routes.pages.visit import Visit, VisitDep
from api.routes.readiness import ReadinessForm
from planner.event.event import Person

router = LaterRouter(prefix="/people")

PAGE = "pages/readiness_of_person.html"
PREFIX = "level."


@dataclass(frozen=True, slots=True)
class Sought:
    """Which tunes: words of their titles, and which page of those found."""

    words: Word = ""
    page: Annotated[int, Query(ge=1, le=100_000)] = 1


SoughtDep = Annotated[Sought, Depends()]


@router.get("/readiness")
def readiness(visit: VisitDep, sought: SoughtDep) -> Response:
    """Everybody, and some of the tunes."""
    people = [kept.noun for kept in all_people(visit.session, visit.band)]
    shown = _tunes(visit, sought, "/people/readiness")
    levels = _levels(visit, shown)
    view = grid_view(people, shown.tunes, levels)
    return visit.show(
        "pages/readiness.html", view=view, shown=shown, form=_search("/people/readiness", sought)
    )


@router.get("/{number}/readiness")
def readiness_of_person(number: RowNumber, visit: VisitDep, sought: SoughtDep) -> Response:
    """How far one person has learnt some of the tunes."""
    address = f"/people/{number}/readiness"
    kept = one_person(visit.session, visit.band, number)
    around = _around(visit, sought, address, kept.noun)
    known = _levels(visit, around["shown"])
    levels = {tune: level for (person, tune), level in known.items() if person == str(number)}
    form = readiness_form(levels, address, kept.version)
    return visit.show(PAGE, form=form, **around)


@router.post("/{number}/readiness")
def change_readiness(
    number: RowNumber, visit: VisitDep, typed: TypedDep, sought: SoughtDep
) -> Response:
    """Write down how far one person has learnt the tunes of the form; others stay as they are."""
    address = f"/people/{number}/readiness"
    person = one_person(visit.session, visit.band, number).noun
    form = typed.form(address, address)
    visit.expects(PAGE, form, **_around(visit, sought, address, person))
    said = {
        name.removeprefix(PREFIX): typed.text(name)
        for name in typed.values
        if name.startswith(PREFIX)
    }
    asked, seen = ReadinessForm.model_validate({"levels": said}), typed.seen_version()
    levels = {key: str(level) for key, level in asked.levels.items()}
    act.change_readiness(visit.session, visit.band, number, seen, levels)
    return visit.go(address, "saved")


def _around(visit: Visit, sought: Sought, address: str, person: Person) -> dict[str, Any]:
    """Everything on the page of a person beside the form."""
    return {
        "shown": _tunes(visit, sought, address),
        "search": _search(address, sought),
        "person": person,
        "levels": level_choices(person),
    }


def _tunes(visit: Visit, sought: Sought, address: str) -> TunesOfPageView:
    found = look_for(visit.session, visit.band, Looking(words=sought.words), sought.page)
    return tunes_of_page(on_shelf(found, sought.page), address, sought.words)


def _levels(visit: Visit, shown: TunesOfPageView) -> dict[tuple[str, str], str]:
    keys = [key for key, _ in shown.tunes]
    learnt = act.readiness_of(visit.session, visit.band, keys)
    return {(each.person_key, each.tune_key): each.level for each in learnt}


def _search(address: str, sought: Sought) -> FormView:
    return FormView(address, {"words": (sought.words,)})
