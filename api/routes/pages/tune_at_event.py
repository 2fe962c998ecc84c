"""One tune at one event: the marks on the staff, and what a person says of them."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Any

from fastapi import Query
from fastapi.responses import Response

from api.actions.choices import (
    can_undo,
    kept_from_before,
    leave_to_planner,
    lift_ceiling,
    mark_by_hand,
    take_lift_back,
    undo_by_hand,
)
from api.actions.planning import EventPlan, ask_all, plan_as, plan_of_event
from api.actions.records import HandMark, Kept, NotFoundError
from api.display.choices import kind_of
from api.display.form import FormView
from api.display.pages.note_here import LEAVE, NoteHereView, note_here_view
from api.display.pages.tune_at_event import HandWord, TuneAtEventView, places_of, tune_at_event_view
from api.display.planned import PlannedEntry
from api.routes.choices import HandMarkForm, LiftForm
from api.routes.compare import setting_of
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.typed import Typed, TypedDep
from api.routes.pages.visit import Visit, VisitDep
from planner.errors import RequestError
from planner.music.tune import note_id
from planner.plan import TunePlan

router = LaterRouter(prefix="/events/{number}/tunes/{tune}")

PAGE = "pages/tune_at_event.html"
LIFTED = ("within_beat", "across_bar", "across_phrase", "between_tunes", "lifted_by")
AskedFor = Annotated[str, Query(max_length=40)]


@router.get("")
def tune_at_event(
    number: RowNumber, tune: RowNumber, visit: VisitDep, note: AskedFor = "", on: AskedFor = ""
) -> Response:
    """The engraved tune with its marks for this event.

    ``note`` is one note, such as ``1/3/0/2``: every move on it, and why not? ``on`` is another
    occasion to look at the tune on, such as ``exhibition:standing``.
    """
    view = _view(visit, number, tune, note, on)
    values = {"note": (note,), "on": (on or view.kind,)}
    if view.note:
        values |= {"ms": (view.note.size,), "set_by": (view.note.set_by,)}
    return visit.show(PAGE, view=view, form=FormView(view.address, values))


@router.post("")
def set_by_hand(number: RowNumber, tune: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Lock a move on a note, leave a note alone, or leave it to the planner again."""
    place = typed.text("place")
    view = _view(visit, number, tune, place)
    form = typed.form(view.address, view.address)
    visit.expects(PAGE, form, ("place", "ms", "move", "set_by"), view=view)
    seen, taken_back = typed.seen_version(), typed.text("take_back")
    if typed.text("do") == "undo":
        undo_by_hand(visit.session, visit.band, number, seen, tune)
    elif taken_back.isascii() and taken_back.isdigit():
        leave_to_planner(visit.session, visit.band, number, seen, int(taken_back))
    else:
        mark = checked(typed, tune).mark()
        _check_possible(view.note, mark)
        mark_by_hand(visit.session, visit.band, number, seen, mark)
    where = f"?note={view.note.place}&said=saved#note" if view.note else "?said=saved"
    return visit.go(f"{view.address}{where}")


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
    move = typed.text("move").removeprefix(LEAVE)
    told |= {"tune_key": str(tune), "will": "locked" if move else "forbidden"}
    told |= {"move": move} if move else {}
    told |= {name: typed.text(name) for name in ("ms", "set_by") if typed.text(name)}
    return HandMarkForm.model_validate(told)


def _check_possible(note: NoteHereView | None, mark: HandMark) -> None:
    """Refuse a move that the note cannot make.

    Raises:
        RequestError: with the reason that binds.
    """
    why = note.refusal(mark.move) if note and mark.move else ""
    if why:
        reason = why.removesuffix(".")
        raise RequestError("move", reason[:1].lower() + reason[1:], "choose another move or note")


def _view(visit: Visit, number: int, tune: int, asked: str = "", on: str = "") -> TuneAtEventView:
    plan = plan_of_event(visit.session, visit.band, number)
    entries = [each for played in plan.planned.sets for each in played.entries]
    found = next((each for each in entries if each.entry.tune_key == str(tune)), None)
    if found is None:
        raise NotFoundError("tune in this event with the number", tune)
    by_hand = _by_hand(plan, str(tune))
    return tune_at_event_view(
        plan.planned,
        found,
        plan.kept.version,
        by_hand,
        can_undo=can_undo(visit.session, visit.band, plan.planned.event, tune),
        kept=kept_from_before(visit.session, visit.band, plan.planned.event, tune),
        note=_note(plan, found, by_hand, asked) if asked else None,
        looked_at=_looked_at(plan, found, on),
    )


def _looked_at(plan: EventPlan, found: PlannedEntry, on: str) -> TunePlan | None:
    """The tune on another occasion; None for none, and for the event's own."""
    if not on or on == kind_of(plan.planned.event.setting):
        return None
    return plan_as(plan, found.entry, setting_of(on))


def _note(
    plan: EventPlan, found: PlannedEntry, by_hand: list[HandWord], asked: str
) -> NoteHereView:
    """One note with every move on it.

    Raises:
        RequestError: what was asked for is no place.
        NotFoundError: the tune has no note there.
    """
    numbers = asked.split("/")
    if len(numbers) != 4 or not all(each.isascii() and each.isdigit() for each in numbers):
        raise RequestError("note", f"“{asked[:30]}” is no note", "choose one of the list")
    part, bar, ending, index = (int(each[:6]) for each in numbers)
    wanted = note_id(part, bar, ending, index)
    place = next((each for each in places_of(found.plan) if each.note_id == wanted), None)
    if place is None:
        raise NotFoundError("note", asked)
    answers = ask_all(plan, found.entry.tune_key, wanted)
    words = [w for w in by_hand if (w.part, w.bar, w.ending, w.index) == (part, bar, ending, index)]
    number = str(words[-1].number) if words else ""
    will = (words[-1].move or LEAVE) if words else ""
    view = note_here_view(found.plan, place, answers, number, will)
    if not words:
        return view
    size = "" if words[-1].ms is None else f"{words[-1].ms:g}"
    return replace(view, size=size, set_by=words[-1].set_by)


def _by_hand(plan: EventPlan, tune_key: str) -> list[HandWord]:
    return [_hand_word(kept) for kept in plan.choices.hand_marks if kept.noun.tune_key == tune_key]


def _hand_word(kept: Kept[HandMark]) -> HandWord:
    mark, place = kept.noun, kept.noun.place
    return HandWord(
        kept.id, place.part, place.bar, place.ending, place.index, mark.move or "", mark.ms,
        mark.set_by,
    )  # fmt: skip
