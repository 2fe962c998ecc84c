"""The page for a day that changes: three plain forms, and what was changed."""

from __future__ import annotations

from typing import Any

from fastapi.responses import Response

from api.actions import day as act
from api.actions.timed import timed_event
from api.display.form import FormView
from api.display.pages.day import DayView, change_view, day_view
from api.routes.day import DayForm, carry_out
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.typed import TypedDep
from api.routes.pages.visit import Visit, VisitDep

router = LaterRouter(prefix="/events")

PAGE = "pages/day.html"
FIELDS = ("move_minutes", "drop_item", "missing_person")


@router.get("/{number}/day")
def day(number: RowNumber, visit: VisitDep) -> Response:
    """What can be changed at once, and what was changed."""
    view = _view(visit, number)
    return visit.show(PAGE, view=view, form=FormView(f"{view.address}/day", version=view.version))


@router.post("/{number}/day")
def change_day(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Do the one thing, and show what it changed."""
    address = f"/events/{number}/day"
    visit.expects(PAGE, typed.form(address, address), FIELDS, view=_view(visit, number))
    asked: dict[str, Any] = {name: typed.text(name) for name in FIELDS if typed.text(name)}
    form, seen = DayForm.model_validate(asked), typed.seen_version()
    carry_out(visit.session, visit.band, number, seen, form)
    return visit.go(address, "saved")


def _view(visit: Visit, number: int) -> DayView:
    timed = timed_event(visit.session, visit.band, number)
    record = timed.kept.noun
    told = act.told_changes(visit.session, visit.band, number)
    return day_view(
        f"/events/{number}",
        record.event.name,
        timed.kept.version,
        timed.timetable.slots if timed.timetable else (),
        [(person.key, person.name) for person in record.line_up.people],
        [change_view(each.version, each.said, each.changed_at) for each in told],
    )
