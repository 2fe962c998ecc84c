"""The drum sergeant's page: where timing is strict, where not, and what is agreed."""

from __future__ import annotations

from typing import Annotated

from fastapi import Query
from fastapi.responses import Response

from api.actions.choices import settle
from api.actions.last_print import since_last_print
from api.actions.planning import plan_of_event
from api.display.form import FormView
from api.display.pages.drums import DrumsView, drums_view
from api.display.paper.drum_sheet import drum_sheet_view
from api.routes.choices import SettledForm
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.typed import Typed, TypedDep
from api.routes.pages.visit import Visit, VisitDep

router = LaterRouter(prefix="/events")

PAGE = "pages/drums.html"
OPEN = "open"


@router.get("/{number}/drums")
def drums(
    number: RowNumber, visit: VisitDep, only: Annotated[str, Query(max_length=10)] = ""
) -> Response:
    """Every tune as strips of bars; ``only=open`` leaves out what is strict."""
    view = _view(visit, number, only == OPEN)
    return visit.show(PAGE, view=view, form=FormView(f"{view.address}/drums"))


@router.post("/{number}/drums")
def settle_mark(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Pipes and drums agree on a mark, or the drums refuse it, wherever it comes."""
    address = f"/events/{number}/drums"
    view = _view(visit, number, typed.text("only") == OPEN)
    visit.expects(PAGE, typed.form(address, address), ("who", "remark"), view=view)
    seen = typed.seen_version()
    for outcome in checked(typed):
        _, event = settle(visit.session, visit.band, number, seen, outcome.settled())
        seen = event.version
    kept = f"{address}?only={OPEN}" if typed.text("only") == OPEN else address
    return visit.go(f"{kept}#{typed.text('anchor')}" if typed.text("anchor") else kept)


def checked(typed: Typed) -> list[SettledForm]:
    """What was settled, once for each place where the mark comes."""
    names = ("tune_key", "move", "ms", "tempo_bpm", "who", "remark")
    told = {name: typed.text(name) for name in names if typed.text(name)}
    is_agreed = typed.text("word") == "agree"
    return [
        SettledForm.model_validate({**told, **_address(place), "is_agreed": is_agreed})
        for place in typed.all("place")
    ]


def _address(place: str) -> dict[str, str]:
    return dict(zip(("part", "bar", "ending", "beat"), place.split("/"), strict=False))


def _view(visit: Visit, number: int, only_open: bool) -> DrumsView:
    plan = plan_of_event(visit.session, visit.band, number)
    since = since_last_print(visit.session, visit.band, number, drum_sheet_view(plan.planned))
    told = tuple(change.words for change in since.changes)
    return drums_view(plan.planned, plan.kept.version, only_open, told)
