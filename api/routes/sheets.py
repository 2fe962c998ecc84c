"""Sheets over HTTP: PDF for the printer. The same sheet has the same ETag, whoever asks for it."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import Header, Query, Response

from api.actions.sheets import Paper, Sheet, print_pack, print_sheet
from api.dependencies import BandDep, DatabaseDep
from api.routes.form import RowNumber
from api.routes.later import LaterRouter

router = LaterRouter(tags=["sheets"], default_response_class=Response)

Responses = dict[int | str, dict[str, Any]]
PDF: Responses = {200: {"content": {"application/pdf": {}}, "description": "The sheet."}}
ZIP: Responses = {200: {"content": {"application/zip": {}}, "description": "Every sheet."}}

SeenPaper = Annotated[str | None, Header(alias="If-None-Match")]
ReaderNumber = Annotated[
    int | None, Query(gt=0, lt=2**31, description="make the cards this player's own")
]


@router.get("/events/{number}/set-cards.pdf", responses=PDF)
def get_set_cards(
    number: RowNumber,
    database: DatabaseDep,
    band: BandDep,
    person: ReaderNumber = None,
    seen: SeenPaper = None,
) -> Response:
    """The set cards of an event, A6, for the band or for one player."""
    return _answer(print_sheet(database, band, number, Sheet.SET_CARDS, person), seen)


@router.get("/events/{number}/phrased-music.pdf", responses=PDF)
def get_phrased_music(
    number: RowNumber, database: DatabaseDep, band: BandDep, seen: SeenPaper = None
) -> Response:
    """The music of an event with this occasion's marks, A4."""
    return _answer(print_sheet(database, band, number, Sheet.PHRASED_MUSIC), seen)


@router.get("/events/{number}/drum-sheet.pdf", responses=PDF)
def get_drum_sheet(
    number: RowNumber, database: DatabaseDep, band: BandDep, seen: SeenPaper = None
) -> Response:
    """Every tune of an event as a strip of bars for the drummers, A4."""
    return _answer(print_sheet(database, band, number, Sheet.DRUM_SHEET), seen)


@router.get("/events/{number}/call-sheet.pdf", responses=PDF)
def get_call_sheet(
    number: RowNumber, database: DatabaseDep, band: BandDep, seen: SeenPaper = None
) -> Response:
    """When, where, in what and how many, A4."""
    return _answer(print_sheet(database, band, number, Sheet.CALL_SHEET), seen)


@router.get("/events/{number}/pack.zip", responses=ZIP)
def get_pack(number: RowNumber, database: DatabaseDep, band: BandDep) -> Response:
    """Every sheet of an event in one file."""
    packed = print_pack(database, band, number)
    headers = {"Content-Disposition": f'attachment; filename="event-{number}.zip"'}
    return Response(packed, media_type="application/zip", headers=headers)


def _answer(paper: Paper, seen: str | None) -> Response:
    tag = f'"{paper.digest[:32]}"'
    headers = {"ETag": tag, "Content-Disposition": f'inline; filename="{paper.file_name}"'}
    if seen is not None and tag in seen:
        return Response(status_code=304, headers=headers)
    return Response(paper.pdf, media_type="application/pdf", headers=headers)
