"""The pages of who has learnt what: the whole grid, and the form of one person."""

from __future__ import annotations

from fastapi.responses import Response

from api.actions import readiness as act
from api.actions.people import all_people, one_person
from api.actions.tunes import titles_of_tunes
from api.display.who import grid_view, level_choices, readiness_form
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.typed import TypedDep
from api.routes.pages.visit import VisitDep
from api.routes.readiness import ReadinessForm

router = LaterRouter(prefix="/people")

PAGE = "pages/readiness_of_person.html"
PREFIX = "level."


@router.get("/readiness")
def readiness(visit: VisitDep) -> Response:
    """Everybody and every tune."""
    people = [kept.noun for kept in all_people(visit.session, visit.band)]
    tunes = titles_of_tunes(visit.session, visit.band)
    learnt = act.all_readiness(visit.session, visit.band)
    levels = {(each.person_key, each.tune_key): each.level for each in learnt}
    return visit.show("pages/readiness.html", view=grid_view(people, tunes, levels))


@router.get("/{number}/readiness")
def readiness_of_person(number: RowNumber, visit: VisitDep) -> Response:
    """How far one person has learnt each tune."""
    kept = one_person(visit.session, visit.band, number)
    learnt = act.all_readiness(visit.session, visit.band)
    levels = {each.tune_key: each.level for each in learnt if each.person_key == str(number)}
    form = readiness_form(levels, f"/people/{number}/readiness", kept.version)
    tunes = titles_of_tunes(visit.session, visit.band)
    return visit.show(
        PAGE, form=form, person=kept.noun, tunes=tunes, levels=level_choices(kept.noun)
    )


@router.post("/{number}/readiness")
def change_readiness(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Write down how far one person has learnt each tune."""
    address = f"/people/{number}/readiness"
    person = one_person(visit.session, visit.band, number).noun
    tunes = titles_of_tunes(visit.session, visit.band)
    form = typed.form(address, address)
    visit.expects(PAGE, form, person=person, tunes=tunes, levels=level_choices(person))
    said = {
        name.removeprefix(PREFIX): typed.text(name)
        for name in typed.values
        if name.startswith(PREFIX)
    }
    asked, seen = ReadinessForm.model_validate({"levels": said}), typed.seen_version()
    levels = {key: str(level) for key, level in asked.levels.items()}
    act.change_readiness(visit.session, visit.band, number, seen, levels)
    return visit.go(address, "saved")
