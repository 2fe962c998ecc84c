"""The page where the answers for an event go out and come in as a list."""

from __future__ import annotations

from typing import Any

from fastapi.responses import Response

from api.actions import lists as act
from api.actions.events import one_event
from api.display.form import FormView
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.lists import ROWS, sent_list
from api.routes.pages.typed import TypedDep
from api.routes.pages.visit import VisitDep

router = LaterRouter(prefix="/events")

PAGE = "pages/answers_list.html"


@router.get("/{number}/answers")
def answers(number: RowNumber, visit: VisitDep) -> Response:
    """The answers for an event, out and in."""
    kept = one_event(visit.session, visit.band, number)
    form = FormView(f"/events/{number}/answers", version=str(kept.version))
    return visit.show(PAGE, form=form, **_about(number, kept.noun.event.name))


@router.post("/{number}/answers")
def answers_in(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Take the answers for an event in."""
    name = one_event(visit.session, visit.band, number).noun.event.name
    form = typed.form(f"/events/{number}/answers", f"/events/{number}")
    visit.expects(PAGE, form, ROWS, **_about(number, name))
    act.add_answers(visit.session, visit.band, number, typed.seen_version(), sent_list(typed))
    return visit.go(f"/events/{number}/people", "saved")


def _about(number: int, name: str) -> dict[str, Any]:
    return {"address": f"/events/{number}", "name": name, "number": str(number)}
