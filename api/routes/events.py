"""Events and their line-ups over HTTP."""

from __future__ import annotations

from fastapi import Response

from api.actions import day
from api.actions import events as act
from api.dependencies import BandDep, SeenVersionDep, SessionDep
from api.routes.etag import created, tag
from api.routes.event_forms import (
    EventAnswer,
    EventForm,
    LineUpForm,
    WholeEventAnswer,
    event_answer,
    whole_event_answer,
)
from api.routes.form import RowNumber
from api.routes.later import LaterRouter

router = LaterRouter(prefix="/events", tags=["events"])


@router.get("")
def list_events(session: SessionDep, band: BandDep) -> list[EventAnswer]:
    """Every event of the band, the earliest day first."""
    return [event_answer(kept) for kept in act.all_events(session, band)]


@router.post("", status_code=201)
def create_event(
    form: EventForm, session: SessionDep, band: BandDep, response: Response
) -> WholeEventAnswer:
    """Store a new event; its line-up is empty."""
    kept = act.add_event(session, band, form.planned())
    created(response, f"/api/events/{kept.id}", kept.version)
    return whole_event_answer(kept)


@router.get("/{number}")
def get_event(
    number: RowNumber, session: SessionDep, band: BandDep, response: Response
) -> WholeEventAnswer:
    """One event with its line-up."""
    kept = act.one_event(session, band, number)
    tag(response, kept.version)
    return whole_event_answer(kept)


@router.put("/{number}")
def change_event(
    number: RowNumber,
    form: EventForm,
    session: SessionDep,
    band: BandDep,
    seen: SeenVersionDep,
    response: Response,
) -> WholeEventAnswer:
    """Change an event; its line-up stays."""
    kept = day.change_event(session, band, number, seen, form.planned(str(number)))
    tag(response, kept.version)
    return whole_event_answer(kept)


@router.delete("/{number}", status_code=204)
def remove_event(
    number: RowNumber, session: SessionDep, band: BandDep, seen: SeenVersionDep
) -> None:
    """Remove an event with everything that belongs to it."""
    act.remove_event(session, band, number, seen)


@router.put("/{number}/line-up")
def change_line_up(
    number: RowNumber,
    form: LineUpForm,
    session: SessionDep,
    band: BandDep,
    seen: SeenVersionDep,
    response: Response,
) -> WholeEventAnswer:
    """Settle who plays, who is out of which tune, and who plays pipe harmony."""
    answers = [each.said() for each in form.answers]
    kept = day.change_line_up(session, band, number, seen, answers, form.outs, form.harmony)
    tag(response, kept.version)
    return whole_event_answer(kept)
