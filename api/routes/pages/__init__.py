"""Pages for people: one module a noun, each function asks, acts and renders."""

from __future__ import annotations

from fastapi import APIRouter, FastAPI

from api.routes.pages import (
    desk,
    drums,
    event_form,
    events,
    explained,
    line_up,
    people,
    rules,
    sets,
    tune_at_event,
    tune_edit,
    tune_new,
    tunes,
)
from api.routes.pages.static_files import ADDRESS, StampedFiles
from api.routes.pages.visit import draw_problem

router = APIRouter(include_in_schema=False)
for room in (
    desk, event_form, events, tune_at_event, drums, line_up, sets, tune_new, tune_edit, tunes,
    people, rules, explained,
):  # fmt: skip
    router.include_router(room.router)


def prepare(app: FastAPI) -> None:
    """Give an app the static folder, and pages for its problems."""
    app.mount(ADDRESS, StampedFiles(), name="static")
    app.state.error_page = draw_problem
