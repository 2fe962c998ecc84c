"""The page of one tune in a set: what is played of it there."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from fastapi.responses import Response

from api.actions.rules import rulebook_of
from api.actions.set_entries import EntryOfSet, change_entry, one_entry
from api.display.form import FormView
from api.display.pages.set_entry import entry_address, set_entry_form, set_entry_view, turns_of
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.rows import filled_rows
from api.routes.pages.typed import Typed, TypedDep
from api.routes.pages.visit import Visit, VisitDep
from api.routes.set_forms import EntryForm
from planner.errors import RequestError
from planner.event.entry_time import entry_tempo, time_entry

router = LaterRouter(prefix="/sets")

PAGE = "pages/set_entry.html"
FIELDS = ("parts", "times_through", "last_bar", "link", "attack", "cut_off")


@router.get("/{number}/tunes/{place}")
def set_entry(number: RowNumber, place: RowNumber, visit: VisitDep) -> Response:
    """What is printed, and what is played of it in this set."""
    of = one_entry(visit.session, visit.band, number, place)
    address = entry_address(f"/sets/{number}", place)
    form = set_entry_form(of.entry, of.tune, address, of.kept.version)
    return visit.show(PAGE, form=form, **_about(visit, of, form))


@router.post("/{number}/tunes/{place}")
def change_set_entry(
    number: RowNumber, place: RowNumber, visit: VisitDep, typed: TypedDep
) -> Response:
    """Keep what is played of it."""
    of = one_entry(visit.session, visit.band, number, place)
    address = entry_address(f"/sets/{number}", place)
    form = typed.form(address, address)
    visit.expects(PAGE, form, FIELDS, **_about(visit, of, form))
    entry = replace(of.entry, **_played(typed, of))
    book = rulebook_of(visit.session, visit.band)
    change_entry(visit.session, visit.band, typed.seen_version(), of, entry, book)
    return visit.go(address, "saved")


def _played(typed: Typed, of: EntryOfSet) -> dict[str, Any]:
    """The parts in their turn, checked."""
    rows = [row for row in filled_rows(typed, "turns") if "part" in row]
    if not rows:
        remedy = "choose at least one part, or take the tune out of the set"
        raise RequestError("parts", "nothing of the tune would be played", remedy)
    checked = EntryForm.model_validate({
        "tune_key": of.entry.tune_key,
        "parts": [row["part"] for row in rows],
        "part_times": [row.get("times", 0) for row in rows],
        "times_through": typed.text("times_through") or 1,
        "last_bar": typed.text("last_bar"),
        "link": typed.text("link"),
        "attack": typed.text("attack") or None,
        "cut_off": typed.text("cut_off") or None,
    })  # fmt: skip
    parts, times = turns_of(list(zip(checked.parts, checked.part_times, strict=True)), of.tune)
    return {
        "parts": parts,
        "part_times": times,
        "times_through": checked.times_through,
        "last_bar": checked.last_bar,
        "link": checked.link,
        "attack": checked.attack,
        "cut_off": checked.cut_off,
    }


def _about(visit: Visit, of: EntryOfSet, form: FormView) -> dict[str, Any]:
    seconds = _seconds(visit, of)
    view = set_entry_view(of.kept.noun, of.place, of.title, of.tune, seconds, form, of.next_title)
    return {"view": view}


def _seconds(visit: Visit, of: EntryOfSet) -> float | None:
    """How long it lasts as it is played now; None where there is no music to reckon with."""
    if of.tune is None:
        return None
    tempo = entry_tempo(of.entry, of.tune, rulebook_of(visit.session, visit.band))
    return float(time_entry(of.entry, of.tune, tempo))
