"""Lists of people, answers and tunes as CSV (RFC 4180), out and in."""

from __future__ import annotations

from typing import Any

from fastapi import Response, UploadFile

from api.actions import lists as act
from api.actions.rules import rulebook_of
from api.dependencies import BandDep, SeenVersionDep, SessionDep
from api.routes.etag import tag
from api.routes.event_forms import WholeEventAnswer, whole_event_answer
from api.routes.form import Answer, RowNumber
from api.routes.later import LaterRouter

router = LaterRouter(prefix="/lists", tags=["lists"])

CSV = "text/csv; charset=utf-8"
MOST_BYTES = 2_000_000
AS_CSV: dict[int | str, dict[str, Any]] = {
    200: {"content": {"text/csv": {}}, "description": "The list."}
}


class TakenAnswer(Answer):
    """How many rows were taken in."""

    taken: int


@router.get("/people.csv", response_class=Response, responses=AS_CSV)
def people_out(session: SessionDep, band: BandDep) -> Response:
    """Everybody of the band."""
    return as_csv(act.people_csv(session, band), "people.csv")


@router.get("/tunes.csv", response_class=Response, responses=AS_CSV)
def tunes_out(session: SessionDep, band: BandDep) -> Response:
    """Every tune of the band."""
    return as_csv(act.tunes_csv(session, band), "tunes.csv")


@router.get("/events/{number}/answers.csv", response_class=Response, responses=AS_CSV)
def answers_out(number: RowNumber, session: SessionDep, band: BandDep) -> Response:
    """Everybody's answer for an event."""
    return as_csv(act.answers_csv(session, band, number), "answers.csv")


@router.post("/people")
def people_in(file: UploadFile, session: SessionDep, band: BandDep) -> TakenAnswer:
    """Take people in: all rows, or none."""
    return TakenAnswer(taken=act.add_people(session, band, file.file.read(MOST_BYTES)))


@router.post("/tunes")
def tunes_in(file: UploadFile, session: SessionDep, band: BandDep) -> TakenAnswer:
    """Take tunes in by their outline: all rows, or none."""
    content, book = file.file.read(MOST_BYTES), rulebook_of(session, band)
    return TakenAnswer(taken=act.add_tunes(session, band, content, book))


@router.post("/events/{number}/answers")
def answers_in(
    number: RowNumber,
    file: UploadFile,
    session: SessionDep,
    band: BandDep,
    seen: SeenVersionDep,
    response: Response,
) -> WholeEventAnswer:
    """Take the answers for an event in: all rows, or none; the others keep theirs."""
    kept = act.add_answers(session, band, number, seen, file.file.read(MOST_BYTES))
    tag(response, kept.version)
    return whole_event_answer(kept)


def as_csv(text: str, name: str) -> Response:
    """A list as a file."""
    said = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(text, media_type=CSV, headers=said)
