"""The band itself over HTTP: its name, its usual place, and how it steps."""

from __future__ import annotations

from typing import Annotated

from fastapi import Response
from pydantic import Field

from api.actions import band as act
from api.actions.records import BandRecord, Kept
from api.dependencies import BandDep, SeenVersionDep, SessionDep
from api.routes.etag import tag
from api.routes.form import Answer, Form, LineText, NameText
from api.routes.later import LaterRouter

router = LaterRouter(prefix="/band", tags=["band"])


class BandForm(Form):
    """The band's name and usual place; paces a minute, and metres a pace."""

    name: NameText
    place: LineText = ""
    steps_per_minute: Annotated[float, Field(ge=20, le=300)] | None = None
    pace_m: Annotated[float, Field(ge=0.2, le=1.5)] | None = None


class BandAnswer(Answer):
    """The band."""

    version: int
    name: str
    place: str
    steps_per_minute: float | None
    pace_m: float | None


@router.get("")
def get_band(session: SessionDep, band: BandDep, response: Response) -> BandAnswer:
    """The band."""
    return _answer(act.the_band(session, band), response)


@router.put("")
def change_band(
    form: BandForm, session: SessionDep, band: BandDep, seen: SeenVersionDep, response: Response
) -> BandAnswer:
    """Change the band's name, place, step rate or pace."""
    record = BandRecord(form.name, form.place, form.steps_per_minute, form.pace_m)
    return _answer(act.change_band(session, band, seen, record), response)


def _answer(kept: Kept[BandRecord], response: Response) -> BandAnswer:
    tag(response, kept.version)
    record = kept.noun
    return BandAnswer(
        version=kept.version,
        name=record.name,
        place=record.place,
        steps_per_minute=record.steps_per_minute,
        pace_m=record.pace_m,
    )
