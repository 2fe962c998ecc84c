"""Pages for people: one module a noun, each function asks, acts and renders."""

from __future__ import annotations

from fastapi import APIRouter, FastAPI

from api.routes import calendar
from api.routes.later import put_together
from api.routes.pages import (
    answers,
    contest_rules,
    dances,
    day,
    desk,
    drum_grid,
    drums,
    event_form,
    events,
    explained,
    fill,
    line_up,
    lists,
    order,
    pack,
    people,
    players,
    readiness,
    rules,
    set_entry,
    sets,
    tune_at_event,
    tune_division,
    tune_edit,
    tune_new,
    tune_recast,
    tunes,
    who,
)
from api.routes.pages.static_files import ADDRESS, StampedFiles
from api.routes.pages.visit import draw_problem

#: Which pages lie below each address, in the order in which addresses are tried?
ROOMS = {
    "/events": (
        calendar,
        event_form,
        events,
        tune_at_event,
        drums,
        line_up,
        who,
        answers,
        day,
        order,
        fill,
        pack,
    ),
    "/sets": (set_entry, sets),
    "/tunes": (tune_new, tune_edit, tune_division, tune_recast, drum_grid, tunes),
    "/people": (readiness, lists, people),
    "/players": (players,),
    "/rules": (contest_rules, dances, rules),
}  # fmt: skip

#: The pages that are there from the first moment.
router = put_together((desk.router, explained.router, calendar.feed), include_in_schema=False)


def pages_below(address: str) -> APIRouter:
    """The pages below an address, put together now."""
    return put_together((room.router for room in ROOMS[address]), include_in_schema=False)


def prepare(app: FastAPI) -> None:
    """Give an app the static folder, and pages for its problems."""
    app.mount(ADDRESS, StampedFiles(), name="static")
    app.state.error_page = draw_problem
