"""The desk: what comes next, and the way in for an empty library."""

from __future__ import annotations

from datetime import date
from itertools import islice

from fastapi import APIRouter
from fastapi.responses import Response

from api.actions import demo
from api.actions.events import all_events
from api.actions.planning import plan_of_event
from api.actions.sets import all_sets
from api.actions.tunes import all_tunes
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
    events = all_events(visit.session, visit.band)
    ahead = [kept for kept in events if kept.noun.day is None or kept.noun.day >= today]
    plans = [
        plan_of_event(visit.session, visit.band, kept.id) for kept in islice(ahead, MOST_EVENTS)
    ]
    view = desk_view(
        [(plan.planned, plan.findings) for plan in plans],
        today,
        later=len(events) - len(plans),
        tunes=len(all_tunes(visit.session, visit.band)),
        sets=len(all_sets(visit.session, visit.band)),
    )
    return visit.show("pages/desk.html", view=view)


@router.post("/demo")
def load_demo(visit: VisitDep) -> Response:
    """Let the demo band move into an empty library."""
    is_loaded = demo.load_demo(visit.session, visit.band, seed_data_dir())
    return visit.go("/", "loaded" if is_loaded else "")
