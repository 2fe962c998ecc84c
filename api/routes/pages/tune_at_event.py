"""One tune at one event: the marks on the staff, and what a person says of them."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import Query
from fastapi.responses import Response

from api.actions.choices import leave_to_planner, lift_ceiling, mark_by_hand, take_lift_back
from api.actions.planning import EventPlan, ask_at, plan_of_event
from api.actions.records import HandMark, Kept, NotFoundError
from api.display.form import FormView
from api.display.tune_at_event import HandWord, TuneAtEventView, asked_view, tune_at_event_view
from api.routes.choices import HandMarkForm, LiftForm
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.typed import Typed, TypedDep
from api.routes.pages.visit import Visit, VisitDep
from planner.errors import RequestError
from planner.marks.marks import Move
from planner.music.tune import note_id

router = LaterRouter(prefix="/events/{number}/tunes/{tune}")

PAGE = "pages/tune_at_event.html"
LIFTED = ("within_beat", "across_bar", "across_phrase", "between_tunes", "lifted_by")
AskedFor = Annotated[str, Query(max_length=40)]


@router.get("")
def tune_at_event(
    number: RowNumber, tune: RowNumber, visit: VisitDep, asked: AskedFor = "", move: AskedFor = ""
) -> Response:
    """The engraved tune with its marks for this event; ``asked`` and ``move``: why not this?"""
    view = _view(visit, number, tune, _wanted(asked, move))
    values = {"asked": (asked,), "asked_move": (move,)}
    return visit.show(PAGE, view=view, form=FormView(view.address, values))


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


@router.post("/lift")
def lift(number: RowNumber, tune: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Lift the tune's ceiling on a named person's word, or let it hold again."""
    view = _view(visit, number, tune)
    visit.expects(PAGE, typed.form(f"{view.address}/lift", view.address), LIFTED, view=view)
    seen = typed.seen_version()
    if typed.text("do") == "back":
        take_lift_back(visit.session, visit.band, number, seen, str(tune))
        return visit.go(view.address, "saved")
    told = {name: typed.text(name) for name in LIFTED if typed.text(name)}
    wanted = LiftForm.model_validate(told).lift(str(tune))
    lift_ceiling(visit.session, visit.band, number, seen, wanted)
    return visit.go(view.address, "saved")


def checked(typed: Typed, tune: int) -> HandMarkForm:
    """What was typed about a note, checked."""
    names = ("part", "bar", "ending", "index")
    told: dict[str, Any] = dict(zip(names, typed.text("place").split("/"), strict=False))
    move = typed.text("move")
    told |= {"tune_key": str(tune), "will": "locked" if move else "forbidden"}
    told |= {name: typed.text(name) for name in ("move", "ms", "set_by") if typed.text(name)}
    return HandMarkForm.model_validate(told)


def _wanted(asked: str, move: str) -> tuple[str, Move] | None:
    """The note and the move that somebody asks about; None when nobody does.

    Raises:
        RequestError: there is no such move, or the note is no place.
    """
    if not asked:
        return None
    numbers = asked.split("/")
    if len(numbers) != 4 or not all(each.isascii() and each.isdigit() for each in numbers):
        raise RequestError("note", f"“{asked[:30]}” is no note", "choose one of the list")
    if move not in list(Move):
        raise RequestError("move", f"“{move[:30]}” is no move", f"choose {', '.join(Move)}")
    part, bar, ending, index = (int(each[:6]) for each in numbers)
    return note_id(part, bar, ending, index), Move(move)


def _view(
    visit: Visit, number: int, tune: int, wanted: tuple[str, Move] | None = None
) -> TuneAtEventView:
    plan = plan_of_event(visit.session, visit.band, number)
    entries = [each for played in plan.planned.sets for each in played.entries]
    found = next((each for each in entries if each.entry.tune_key == str(tune)), None)
    if found is None:
        raise NotFoundError("tune in this event with the number", tune)
    answer = None
    if wanted is not None:
        note, move = wanted
        answer = asked_view(found.plan, note, move, ask_at(plan, str(tune), note, move))
    by_hand = _by_hand(plan, str(tune))
    lifts = plan.choices.lifts
    lifted_on = next((each.lifted_at for each in lifts if each.tune_key == str(tune)), None)
    version = plan.kept.version
    return tune_at_event_view(plan.planned, found, version, by_hand, answer, lifted_on)


def _by_hand(plan: EventPlan, tune_key: str) -> list[HandWord]:
    here = [kept for kept in plan.choices.hand_marks if kept.noun.tune_key == tune_key]
    last = max(here, key=lambda kept: (kept.changed_at, kept.id), default=None)
    return [_hand_word(kept, kept is last) for kept in here]


def _hand_word(kept: Kept[HandMark], is_last: bool) -> HandWord:
    mark, place = kept.noun, kept.noun.place
    return HandWord(
        kept.id, place.part, place.bar, place.ending, place.index, mark.move or "", mark.ms,
        mark.set_by, is_last,
    )  # fmt: skip
