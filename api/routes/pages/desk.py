"""The desk: what comes next, and the way in for an empty library."""

from __future__ import annotations

from datetime import date

from fastapi import APIRouter
from fastapi.responses import Response

from api.actions import demo
from api.actions.ready import Ahead, events_ahead
from api.display.pages.desk import NextEventView, desk_view, next_event_view, unplanned_event_view
from api.routes.pages.visit import VisitDep
from api.settings import seed_data_dir

router = APIRouter()

# How many events lie open on the desk? The rest are on the list.
MOST_EVENTS = 4


@router.get("/")
def desk(visit: VisitDep) -> Response:
    """The next events and what is not ready."""
    today = date.today()
    ahead = events_ahead(visit.session, visit.band, today, MOST_EVENTS + 1)
    view = desk_view(
        [_one(each, today) for each in ahead[:MOST_EVENTS]],
        has_more=len(ahead) > MOST_EVENTS,
        is_empty=not ahead and demo.is_empty(visit.session, visit.band),
    )
    return visit.show("pages/desk.html", view=view)


def _one(ahead: Ahead, today: date) -> NextEventView:
    if ahead.plan is None:
        return unplanned_event_view(ahead.kept.noun.event, ahead.problem, today)
    return next_event_view(ahead.plan.planned, ahead.findings, today)


@router.post("/demo")
def load_demo(visit: VisitDep) -> Response:
    """Let the demo band move into an empty library."""
    is_loaded = demo.load_demo(visit.session, visit.band, seed_data_dir())
    return visit.go("/", "loaded" if is_loaded else "")
