"""One tune at one event: the marks on the staff, and what a person says of them."""

from __future__ import annotations

from typing import Any

from fastapi.responses import Response

from api.actions.choices import leave_to_planner, mark_by_hand
from api.actions.planning import EventPlan, plan_of_event
from api.actions.records import HandMark, Kept, NotFoundError
from api.display.form import FormView
from api.display.tune_at_event import HandWord, TuneAtEventView, tune_at_event_view
from api.routes.choices import HandMarkForm
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.typed import Typed, TypedDep
from api.routes.pages.visit import Visit, VisitDep

router = LaterRouter(prefix="/events/{number}/tunes/{tune}")

PAGE = "pages/tune_at_event.html"


@router.get("")
def tune_at_event(number: RowNumber, tune: RowNumber, visit: VisitDep) -> Response:
    """The engraved tune with its marks for this event, each mark explained."""
    view = _view(visit, number, tune)
    return visit.show(PAGE, view=view, form=FormView(view.address))


@router.post("")
def set_by_hand(number: RowNumber, tune: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Lock a move on a note, leave a note alone, or leave it to the planner again."""
    view = _view(visit, number, tune)
    visit.expects(PAGE, typed.form(view.address, view.address), ("place", "ms", "move"), view=view)
    seen, taken_back = typed.seen_version(), typed.text("take_back")
    if taken_back.isascii() and taken_back.isdigit():
        leave_to_planner(visit.session, visit.band, number, seen, int(taken_back))
    else:
        mark = checked(typed, tune).mark()
        mark_by_hand(visit.session, visit.band, number, seen, mark)
    return visit.go(view.address, "saved")


def checked(typed: Typed, tune: int) -> HandMarkForm:
    """What was typed about a note, checked."""
    names = ("part", "bar", "ending", "index")
    told: dict[str, Any] = dict(zip(names, typed.text("place").split("/"), strict=False))
    move = typed.text("move")
    told |= {"tune_key": str(tune), "will": "locked" if move else "forbidden"}
    told |= {name: typed.text(name) for name in ("move", "ms", "set_by") if typed.text(name)}
    return HandMarkForm.model_validate(told)


def _view(visit: Visit, number: int, tune: int) -> TuneAtEventView:
    plan = plan_of_event(visit.session, visit.band, number)
    entries = [each for played in plan.planned.sets for each in played.entries]
    found = next((each for each in entries if each.entry.tune_key == str(tune)), None)
    if found is None:
        raise NotFoundError("tune in this event with the number", tune)
    return tune_at_event_view(plan.planned, found, plan.kept.version, _by_hand(plan, str(tune)))


def _by_hand(plan: EventPlan, tune_key: str) -> list[HandWord]:
    return [_hand_word(kept) for kept in plan.choices.hand_marks if kept.noun.tune_key == tune_key]


def _hand_word(kept: Kept[HandMark]) -> HandWord:
    mark, place = kept.noun, kept.noun.place
    return HandWord(
        kept.id, place.part, place.bar, place.ending, place.index, mark.move or "", mark.ms,
        mark.set_by,
    )  # fmt: skip
