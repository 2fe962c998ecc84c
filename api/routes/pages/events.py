"""The pages of events: the list, the day, the tune at the event."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response

from api.actions.planning import EventPlan, plan_of_event
from api.display.event import event_view
from api.routes.form import RowNumber
from api.routes.pages.visit import VisitDep

router = APIRouter(prefix="/events")


@router.get("/{number}")
def event(number: RowNumber, visit: VisitDep) -> Response:
    """An event: how freely each tune is played there, and why."""
    plan = plan_of_event(visit.session, visit.band, number)
    view = event_view(plan.planned, plan.kept.version, plan.findings, open_answers(plan))
    return visit.show("pages/event.html", view=view)


def open_answers(plan: EventPlan) -> int:
    """How many people have said maybe."""
    return sum(answer.answer == "maybe" for answer in plan.kept.noun.answers)
