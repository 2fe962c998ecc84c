"""Tunes over HTTP: upload or outline, look, change, attach, remove."""

from __future__ import annotations

from typing import Annotated
from urllib.parse import quote

from fastapi import File, Form, Query, Response, UploadFile

from api.actions import tunes as act
from api.actions.drum_scores import check_drum_score, keep_drum_score
from api.actions.reading import read_music
from api.actions.records import NewFile
from api.actions.rules import rulebook_of
from api.dependencies import BandDep, SeenVersionDep, SessionDep, SettingsDep
from api.routes.etag import created, tag
from api.routes.form import LineText, RowNumber
from api.routes.later import LaterRouter
from api.routes.tune_forms import (
    ReadingAnswer,
    TuneAnswer,
    TuneForm,
    chosen_numbers,
    new_file,
    reading_answers,
    tune_answer,
)
from planner.event.event import Occasion

router = LaterRouter(prefix="/tunes", tags=["tunes"])

MusicUpload = Annotated[UploadFile, File(description="ABC, MusicXML, MEI or MIDI")]
Choice = Annotated[str, Form(max_length=400, description="numbers from 1, or all")]
PageNumber = Annotated[int, Query(ge=1, le=1000, description="from 1")]
Words = Annotated[LineText, Form()]


@router.get("")
def list_tunes(
    session: SessionDep, band: BandDep, response: Response, page: PageNumber = 1
) -> list[TuneAnswer]:
    """The tunes of the band by title, a hundred at once; a Link leads to the next page."""
    tunes, are_more = act.page_of_tunes(session, band, page)
    if are_more:
        response.headers["Link"] = f'</api/tunes?page={page + 1}>; rel="next"'
    return [tune_answer(kept) for kept in tunes]


@router.post("", status_code=201)
def create_outline(
    form: TuneForm, session: SessionDep, band: BandDep, response: Response
) -> TuneAnswer:
    """Store a tune that is known by its outline only."""
    kept = act.add_outline(session, band, form.record(), rulebook_of(session, band))
    created(response, f"/api/tunes/{kept.id}", kept.version)
    return tune_answer(kept)


@router.post("/readings")
def read_file(file: MusicUpload, settings: SettingsDep) -> list[ReadingAnswer]:
    """Read a file and say what is in it; nothing is stored."""
    limit = settings.largest_tune_file_bytes
    return reading_answers(read_music(new_file(file, limit), limit))


@router.post("/files", status_code=201)
def upload_file(
    file: MusicUpload,
    session: SessionDep,
    band: BandDep,
    settings: SettingsDep,
    tune: Choice = "",
    tags: Annotated[list[Occasion] | None, Form()] = None,
    permission: Words = "",
) -> list[TuneAnswer]:
    """Store the tunes of a file: its only one, those chosen by number, or all."""
    limit = settings.largest_tune_file_bytes
    read = act.read_upload(new_file(file, limit), chosen_numbers(tune), limit)
    kept = act.keep_upload(session, band, read, tuple(dict.fromkeys(tags or [])), permission)
    return [tune_answer(each) for each in kept]


@router.get("/{number}")
def get_tune(
    number: RowNumber, session: SessionDep, band: BandDep, response: Response
) -> TuneAnswer:
    """One tune."""
    kept = act.one_tune(session, band, number)
    tag(response, kept.version)
    return tune_answer(kept)


@router.put("/{number}")
def change_tune(
    number: RowNumber,
    form: TuneForm,
    session: SessionDep,
    band: BandDep,
    seen: SeenVersionDep,
    response: Response,
) -> TuneAnswer:
    """Change what the band says of a tune."""
    rulebook = rulebook_of(session, band)
    kept = act.change_tune(session, band, number, seen, form.record(str(number)), rulebook)
    tag(response, kept.version)
    return tune_answer(kept)


@router.delete("/{number}", status_code=204)
def remove_tune(
    number: RowNumber, session: SessionDep, band: BandDep, seen: SeenVersionDep
) -> None:
    """Remove a tune that no set needs."""
    act.remove_tune(session, band, number, seen)


@router.get("/{number}/file", response_class=Response)
def get_file(number: RowNumber, session: SessionDep, band: BandDep) -> Response:
    """The music file as it was uploaded."""
    return _download(act.file_of_tune(session, band, number), "attachment")


@router.put("/{number}/file")
def replace_music(
    number: RowNumber,
    file: MusicUpload,
    session: SessionDep,
    band: BandDep,
    settings: SettingsDep,
    seen: SeenVersionDep,
    response: Response,
    tune: Choice = "",
) -> TuneAnswer:
    """Put another file in place of a tune's music."""
    limit = settings.largest_tune_file_bytes
    read = act.read_upload(new_file(file, limit), chosen_numbers(tune), limit)
    kept = act.replace_music(session, band, number, seen, read)
    tag(response, kept.version)
    return tune_answer(kept)


@router.get("/{number}/attachment", response_class=Response)
def get_attachment(number: RowNumber, session: SessionDep, band: BandDep) -> Response:
    """The attached PDF or picture."""
    return _download(act.file_of_tune(session, band, number, "attachment"), "inline")


@router.put("/{number}/attachment")
def attach(
    number: RowNumber,
    file: Annotated[UploadFile, File(description="PDF, PNG or JPEG up to 10 MB")],
    session: SessionDep,
    band: BandDep,
    settings: SettingsDep,
    seen: SeenVersionDep,
    response: Response,
) -> TuneAnswer:
    """Attach a PDF or picture to a tune."""
    attachment = new_file(file, settings.largest_attachment_bytes)
    kept = act.attach(session, band, number, seen, attachment)
    tag(response, kept.version)
    return tune_answer(kept)


@router.delete("/{number}/attachment")
def detach(
    number: RowNumber,
    session: SessionDep,
    band: BandDep,
    seen: SeenVersionDep,
    response: Response,
) -> TuneAnswer:
    """Take the attachment away."""
    kept = act.attach(session, band, number, seen, None)
    tag(response, kept.version)
    return tune_answer(kept)


@router.get("/{number}/drum-scan", response_class=Response)
def get_drum_scan(number: RowNumber, session: SessionDep, band: BandDep) -> Response:
    """The PDF or picture of the drum score."""
    return _download(act.file_of_tune(session, band, number, "drum_scan"), "inline")


@router.put("/{number}/drum-scan")
def attach_drum_scan(
    number: RowNumber,
    file: Annotated[UploadFile, File(description="PDF, PNG or JPEG up to 10 MB")],
    session: SessionDep,
    band: BandDep,
    settings: SettingsDep,
    seen: SeenVersionDep,
    response: Response,
) -> TuneAnswer:
    """Attach a PDF or picture of the drum score to a tune."""
    scan = new_file(file, settings.largest_attachment_bytes)
    kept = act.attach(session, band, number, seen, scan, "drum_scan")
    tag(response, kept.version)
    return tune_answer(kept)


@router.delete("/{number}/drum-scan")
def detach_drum_scan(
    number: RowNumber,
    session: SessionDep,
    band: BandDep,
    seen: SeenVersionDep,
    response: Response,
) -> TuneAnswer:
    """Take the picture of the drum score away."""
    kept = act.attach(session, band, number, seen, None, "drum_scan")
    tag(response, kept.version)
    return tune_answer(kept)


@router.get("/{number}/drum-score", response_class=Response)
def get_drum_score(number: RowNumber, session: SessionDep, band: BandDep) -> Response:
    """The drum score as it was uploaded."""
    return _download(act.file_of_tune(session, band, number, "drum_file"), "attachment")


@router.put("/{number}/drum-score")
def put_drum_score(
    number: RowNumber,
    file: Annotated[UploadFile, File(description="MusicXML")],
    session: SessionDep,
    band: BandDep,
    settings: SettingsDep,
    seen: SeenVersionDep,
    response: Response,
) -> TuneAnswer:
    """Keep the drummers' score with its tune."""
    limit = settings.largest_tune_file_bytes
    score = new_file(file, limit)
    check_drum_score(score, limit)
    kept = keep_drum_score(session, band, number, seen, score)
    tag(response, kept.version)
    return tune_answer(kept)


@router.delete("/{number}/drum-score")
def drop_drum_score(
    number: RowNumber,
    session: SessionDep,
    band: BandDep,
    seen: SeenVersionDep,
    response: Response,
) -> TuneAnswer:
    """Take the drum score away."""
    kept = keep_drum_score(session, band, number, seen, None)
    tag(response, kept.version)
    return tune_answer(kept)


def _download(file: NewFile, disposition: str) -> Response:
    # The name travels percent-encoded (RFC 6266), so that no name can break the header.
    headers = {"Content-Disposition": f"{disposition}; filename*=UTF-8''{quote(file.name)}"}
    is_shown = disposition == "inline"
    media_type = file.media_type if is_shown else "application/octet-stream"
    return Response(file.content, media_type=media_type, headers=headers)
