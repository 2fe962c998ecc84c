"""The desk: what comes next, and the way in for an empty library."""

from __future__ import annotations

from datetime import date

from fastapi import APIRouter
from fastapi.responses import Response

from api.actions import demo
from api.actions.planning import plans_ahead
from api.display.desk import desk_view
from api.routes.pages.visit import VisitDep
from api.settings import seed_data_dir

router = APIRouter()

# How many events lie open on the desk? The rest are on the list.
MOST_EVENTS = 4


@router.get("/")
def desk(visit: VisitDep) -> Response:
    """The next events and what is not ready."""
    today = date.today()
    plans = plans_ahead(visit.session, visit.band, today, MOST_EVENTS + 1)
    view = desk_view(
        [(plan.planned, plan.findings) for plan in plans[:MOST_EVENTS]],
        today,
        has_more=len(plans) > MOST_EVENTS,
        is_empty=not plans and demo.is_empty(visit.session, visit.band),
    )
    return visit.show("pages/desk.html", view=view)


@router.post("/demo")
def load_demo(visit: VisitDep) -> Response:
    """Let the demo band move into an empty library."""
    is_loaded = demo.load_demo(visit.session, visit.band, seed_data_dir())
    return visit.go("/", "loaded" if is_loaded else "")
