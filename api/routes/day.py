"""The day changes, over HTTP: move the slot, drop an item, miss a player; and what changed."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated

from fastapi import Response
from pydantic import Field, model_validator

from api.actions import day as act
from api.actions.records import BandId, EventRecord, Kept, Session
from api.dependencies import BandDep, SeenVersionDep, SessionDep
from api.routes.etag import tag
from api.routes.event_forms import WholeEventAnswer, whole_event_answer
from api.routes.form import Answer, Form, RowKey, RowNumber
from api.routes.later import LaterRouter

router = LaterRouter(prefix="/events", tags=["events"])


class DayForm(Form):
    """One change of the day: minutes to move (negative: earlier), an item from 1, or a person."""

    move_minutes: Annotated[int, Field(ge=-720, le=720)] | None = None
    drop_item: Annotated[int, Field(ge=1, le=100)] | None = None
    missing_person: RowKey | None = None

    @model_validator(mode="after")
    def _one_thing(self) -> DayForm:
        said = [self.move_minutes, self.drop_item, self.missing_person]
        if sum(each is not None for each in said) != 1:
            raise ValueError("say one thing: move the slot, drop an item, or miss a player")
        return self


class ToldAnswer(Answer):
    """What a change changed, one sentence each, and the version it made."""

    version: int
    said: tuple[str, ...]
    changed_at: datetime


class ChangedAnswer(Answer):
    """The event as it is now, and what changed."""

    event: WholeEventAnswer
    said: tuple[str, ...]


@router.post("/{number}/day")
def change_day(
    number: RowNumber,
    form: DayForm,
    session: SessionDep,
    band: BandDep,
    seen: SeenVersionDep,
    response: Response,
) -> ChangedAnswer:
    """Change the day: everything is timed again, and what changed is said."""
    kept = carry_out(session, band, number, seen, form)
    tag(response, kept.version)
    (told,) = act.told_changes(session, band, number, most=1)
    return ChangedAnswer(event=whole_event_answer(kept), said=told.said)


@router.get("/{number}/changes")
def get_changes(number: RowNumber, session: SessionDep, band: BandDep) -> list[ToldAnswer]:
    """What the latest changes changed, the newest first."""
    return [
        ToldAnswer(version=told.version, said=told.said, changed_at=told.changed_at)
        for told in act.told_changes(session, band, number)
    ]


def carry_out(
    session: Session, band: BandId, number: int, seen: int | None, form: DayForm
) -> Kept[EventRecord]:
    """Do the one thing a form of the day asks for."""
    if form.move_minutes is not None:
        return act.move_slot(session, band, number, seen, form.move_minutes)
    if form.drop_item is not None:
        return act.drop_item(session, band, number, seen, form.drop_item)
    return act.miss_player(session, band, number, seen, form.missing_person or "")
