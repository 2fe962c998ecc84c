"""Who can play what, over HTTP."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import Response
from pydantic import Field

from api.actions import readiness as act
from api.dependencies import BandDep, SeenVersionDep, SessionDep
from api.routes.etag import tag
from api.routes.form import Answer, Form, RowKey, RowNumber
from api.routes.later import LaterRouter
from api.routes.people import PersonAnswer, person_answer

router = LaterRouter(tags=["readiness"])


class ReadinessForm(Form):
    """How far a person has learnt tunes: a level by tune key; empty means nobody has said."""

    levels: Annotated[dict[RowKey, act.Level | Literal[""]], Field(max_length=2_000)]


class LearntAnswer(Answer):
    """How far a person has learnt a tune."""

    person_key: str
    tune_key: str
    level: act.Level


class GapAnswer(Answer):
    """A person of a line-up who cannot play a tune as the event asks."""

    person_key: str
    name: str
    tune_key: str
    level: act.Level
    needed: act.Level


@router.get("/readiness")
def list_readiness(session: SessionDep, band: BandDep) -> list[LearntAnswer]:
    """What is known of every person and tune."""
    return [
        LearntAnswer(
            person_key=each.person_key, tune_key=each.tune_key, level=act.Level(each.level)
        )
        for each in act.all_readiness(session, band)
    ]


@router.put("/people/{number}/readiness")
def change_readiness(
    number: RowNumber,
    form: ReadinessForm,
    session: SessionDep,
    band: BandDep,
    seen: SeenVersionDep,
    response: Response,
) -> PersonAnswer:
    """Write down how far a person has learnt tunes; If-Match and ETag are the person's."""
    kept = act.change_readiness(session, band, number, seen, form.levels)
    tag(response, kept.version)
    return person_answer(kept)


@router.get("/events/{number}/gaps")
def get_gaps(number: RowNumber, session: SessionDep, band: BandDep) -> list[GapAnswer]:
    """Who of an event's line-up cannot play what."""
    return [
        GapAnswer(
            person_key=gap.person.key,
            name=gap.person.name,
            tune_key=gap.tune_key,
            level=gap.level,
            needed=gap.needed,
        )
        for gap in act.gaps_of_event(session, band, number)
    ]
