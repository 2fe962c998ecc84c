"""The pages of dances: all on record, and one of them with the tunes that fit."""

from __future__ import annotations

from typing import Annotated

from fastapi import Path, Query
from fastapi.responses import Response

from api.actions import dances as act
from api.actions.rules import rulebook_of
from api.display.dances import dance_lines, dance_page
from api.routes.later import LaterRouter
from api.routes.pages.visit import VisitDep
from planner.errors import RequestError
from planner.event.dance import all_dances, find_dance, read_steps, with_own_bars

router = LaterRouter(prefix="/rules/dances")


@router.get("")
def dances(visit: VisitDep) -> Response:
    """Every dance on record."""
    lines = dance_lines(all_dances(rulebook_of(visit.session, visit.band)))
    return visit.show("pages/dances.html", lines=lines)


@router.get("/{name}")
def dance(
    name: Annotated[str, Path(max_length=100)],
    visit: VisitDep,
    steps: Annotated[str, Query(max_length=20)] = "",
) -> Response:
    """One dance: what is on record, and which of the band's tunes fit how many times through."""
    book = rulebook_of(visit.session, visit.band)
    known = find_dance(name, book)
    counts = next(iter(known.usual_steps), ())
    try:
        counts, bars = read_steps(steps) if steps.strip() else (counts, None)
        known = with_own_bars(known, bars_per_step=bars)
        found = act.tunes_of_dance(visit.session, visit.band, known, counts, book)
        problem = ""
    except RequestError as error:
        found, problem = (), str(error)
    view = dance_page(known, steps.strip() or "+".join(map(str, counts)), found, book, problem)
    return visit.show("pages/dance.html", view=view)
