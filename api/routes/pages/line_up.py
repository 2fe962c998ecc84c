"""The line-up of an event: who plays, who is out of which tune, who plays pipe harmony."""

from __future__ import annotations

from fastapi.responses import Response

from api.actions import day
from api.actions import events as act
from api.actions.people import all_people
from api.actions.records import EventRecord
from api.actions.who import titles_played
from api.display.pages.line_up import ANSWERS, LineUpView, line_up_form, line_up_view
from api.routes.event_forms import LineUpForm
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.typed import Typed, TypedDep
from api.routes.pages.visit import Visit, VisitDep

router = LaterRouter(prefix="/events")

PAGE = "pages/line_up.html"


@router.get("/{number}/line-up")
def line_up(number: RowNumber, visit: VisitDep) -> Response:
    """Everybody, with their answer, outs and harmony."""
    kept = act.one_event(visit.session, visit.band, number)
    given = ((answer.person_key, answer.answer) for answer in kept.noun.answers)
    form = line_up_form(kept.noun.line_up, given, f"/events/{number}/line-up", kept.version)
    return visit.show(PAGE, view=_view(visit, kept.noun), form=form, answers=ANSWERS)


@router.post("/{number}/line-up")
def change_line_up(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Settle the line-up."""
    address = f"/events/{number}/line-up"
    view = _view(visit, act.one_event(visit.session, visit.band, number).noun)
    form = typed.form(address, address)
    visit.expects(PAGE, form, ("out", "harmony"), view=view, answers=ANSWERS)
    asked, seen = checked(typed), typed.seen_version()
    day.change_line_up(
        visit.session,
        visit.band,
        number,
        seen,
        [answer.said() for answer in asked.answers],
        asked.outs,
        asked.harmony,
    )
    return visit.go(address, "saved")


def checked(typed: Typed) -> LineUpForm:
    """What was typed, checked."""
    answers = [
        {"person_key": name.removeprefix("answer."), "answer": typed.text(name)}
        for name in typed.values
        if name.startswith("answer.") and typed.text(name)
    ]
    outs = [pair.split(":") for pair in typed.all("out")]
    harmony = [pair.split(":") for pair in typed.all("harmony")]
    return LineUpForm.model_validate({"answers": answers, "outs": outs, "harmony": harmony})


def _view(visit: Visit, record: EventRecord) -> LineUpView:
    event = record.event
    tunes = list(titles_played(visit.session, visit.band, event).items())
    people = [kept.noun for kept in all_people(visit.session, visit.band)]
    return line_up_view(event.key, event.name, record.line_up, people, tunes)
