"""The pages of events: the list, the day, the tune at the event."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from fastapi.responses import Response

from api.actions.day import told_changes
from api.actions.events import all_events, one_event
from api.actions.planning import EventPlan, plan_of_event
from api.actions.readiness import Gap
from api.actions.ready import nobody_plays, permissions_missing
from api.actions.sums import sums_of_plan
from api.actions.who import gap_findings, gaps_of_plan, rungs_of_plan
from api.display.drawing.ink import Figure
from api.display.drawing.timeline import timeline_figure
from api.display.pages.day import ChangeView, change_view
from api.display.pages.desk import unplanned_event_view
from api.display.pages.event import event_view
from api.display.pages.event_sums import SumsView, sums_view
from api.display.pages.events import events_view
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.visit import Visit, VisitDep
from planner.errors import RequestError
from planner.event.event import Occasion

router = LaterRouter(prefix="/events")


@router.get("")
def events(visit: VisitDep) -> Response:
    """Every event, the next first."""
    known = all_events(visit.session, visit.band)
    view = events_view((kept.noun for kept in known), date.today())
    return visit.show("pages/events.html", view=view)


@router.get("/{number}")
def event(number: RowNumber, visit: VisitDep) -> Response:
    """An event: how freely each tune is played there, and why."""
    try:
        plan = plan_of_event(visit.session, visit.band, number)
    except RequestError as error:
        return _unplanned(visit, number, str(error))
    gaps = gaps_of_plan(visit.session, visit.band, plan)
    findings = (
        *plan.findings,
        *rungs_of_plan(plan),
        *gap_findings(plan, gaps),
        *nobody_plays(plan),
        *permissions_missing(plan),
    )
    view = event_view(plan.planned, plan.kept.version, findings, open_answers(plan))
    return visit.show(
        "pages/event.html",
        view=view,
        sums=_sums(plan, gaps),
        changed=_changed(visit, number),
        timeline=_timeline(plan),
    )


def _unplanned(visit: Visit, number: int, problem: str) -> Response:
    """An event that cannot be planned: why not, and the pages on which that is mended."""
    kept = one_event(visit.session, visit.band, number)
    event = unplanned_event_view(kept.noun.event, problem, date.today())
    version = str(kept.version)
    return visit.show("pages/event_unplanned.html", event=event, version=version)


def _timeline(plan: EventPlan) -> Figure | None:
    planned = plan.planned
    numbers = [str(each.set.number) for each in planned.sets]
    return timeline_figure(planned.event.clock, planned.timetable, numbers)


def _changed(visit: Visit, number: int) -> ChangeView | None:
    told = told_changes(visit.session, visit.band, number, most=1)
    return next((change_view(each.version, each.said, each.changed_at) for each in told), None)


def _sums(plan: EventPlan, gaps: Sequence[Gap]) -> SumsView | None:
    event = plan.planned.event
    if not event.items:
        return None
    where = event.loudness.where if event.loudness else ""
    is_danced = event.setting.occasion is Occasion.DANCE
    return sums_view(sums_of_plan(plan, gaps), event.route, where, is_danced)


def open_answers(plan: EventPlan) -> int:
    """How many people have said maybe."""
    return sum(answer.answer == "maybe" for answer in plan.kept.noun.answers)
