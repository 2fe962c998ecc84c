"""Dances over HTTP: what is on record, and which of the band's tunes fit."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import Path, Query

from api.actions import dances as act
from api.actions.rules import rulebook_of
from api.dependencies import BandDep, SessionDep
from api.display.dances import dance_document, tunes_document
from api.routes.later import LaterRouter
from planner.event.dance import all_dances, find_dance, read_steps, with_own_bars

router = LaterRouter(prefix="/dances", tags=["dances"])

DanceName = Annotated[str, Path(max_length=100, description="such as highland-fling")]
Steps = Annotated[str, Query(max_length=20, description="6, or slow+quick as 3+1; else the usual")]


@router.get("")
def list_dances(session: SessionDep, band: BandDep) -> list[dict[str, Any]]:
    """Every dance on record, each value with its source and status."""
    book = rulebook_of(session, band)
    return [dance_document(dance, book) for dance in all_dances(book)]


@router.get("/{name}")
def get_dance(
    name: DanceName, session: SessionDep, band: BandDep, steps: Steps = ""
) -> dict[str, Any]:
    """One dance, and the band's tunes that fill its steps, with the times through."""
    book = rulebook_of(session, band)
    dance = find_dance(name, book)
    usual = next(iter(dance.usual_steps), ())
    counts, bars = read_steps(steps) if steps else (usual, None)
    dance = with_own_bars(dance, bars_per_step=bars)
    found = act.tunes_of_dance(session, band, dance, counts, book) if counts else ()
    return {
        **dance_document(dance, book),
        "steps": list(counts),
        "tunes": tunes_document(found),
    }
