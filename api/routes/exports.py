"""Tunes as files for other programs: ABC, MusicXML, and MIDI of an occasion."""

from __future__ import annotations

from typing import Annotated

from fastapi import Query, Response

from api.actions import exports as act
from api.actions.records import NewFile
from api.dependencies import BandDep, SessionDep
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from planner.event.event import SORTS_BY_OCCASION, Control, Occasion, Setting, Sort

router = LaterRouter(prefix="/tunes", tags=["tunes"], default_response_class=Response)

ControlRung = Annotated[int, Query(ge=1, le=4)]


@router.get("/{number}/music.abc")
def get_abc(number: RowNumber, session: SessionDep, band: BandDep) -> Response:
    """A tune as ABC 2.1."""
    return _sent(act.tune_as_abc(session, band, number))


@router.get("/{number}/music.musicxml")
def get_musicxml(number: RowNumber, session: SessionDep, band: BandDep) -> Response:
    """A tune as MusicXML 4.0."""
    return _sent(act.tune_as_musicxml(session, band, number))


@router.get("/{number}/music.mid")
def get_midi(
    number: RowNumber,
    session: SessionDep,
    band: BandDep,
    occasion: Occasion = Occasion.EXHIBITION,
    sort: Sort | None = None,
    rung: ControlRung = 4,
) -> Response:
    """A tune as a standard MIDI file, as it is played on an occasion."""
    chosen = sort or SORTS_BY_OCCASION[occasion][0]
    setting = Setting(occasion, chosen, control=Control(rung))
    return _sent(act.tune_as_midi(session, band, number, setting))


def _sent(file: NewFile) -> Response:
    headers = {"Content-Disposition": f'attachment; filename="{file.name}"'}
    return Response(file.content, media_type=file.media_type, headers=headers)
