"""The form of a tune: what the band says of it, and its files."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from fastapi.responses import Response

from api.actions import tunes as act
from api.actions.drum_scores import check_drum_score, keep_drum_score
from api.actions.reading import LibraryTune
from api.actions.records import Kept, NewFile, TuneRecord
from api.actions.rules import rulebook_of
from api.display.choices import OCCASIONS, TONAL_CENTRES, Choices
from api.display.pages.tune_form import OUTLINE_ROWS, Told, tune_form
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.tunes import about_tune
from api.routes.pages.typed import Typed, TypedDep
from api.routes.pages.visit import Visit, VisitDep
from api.routes.tune_forms import TuneForm, chosen_numbers, new_file
from planner.errors import RequestError

router = LaterRouter(prefix="/tunes")

EDIT = "pages/tune_edit.html"
FIELDS = (
    "title", "idiom", "tempo_bpm", "phrase_bars", "line_bars", "tonal_centre", "composer",
    "arranger", "origin", "source", "transcriber", "permission",
    "standard_setting", "remarks",
)  # fmt: skip
ALL_FIELDS = (*FIELDS, "tags", "outline", "outline.metre", "outline.parts", "file", "tune")


@router.get("/{number}/edit")
def edit_tune(number: RowNumber, visit: VisitDep) -> Response:
    """The form of a tune, and of its files."""
    kept = act.one_tune(visit.session, visit.band, number)
    form = tune_form(_told(kept.noun.record), f"/tunes/{number}/edit", kept.version)
    return visit.show(EDIT, form=form, **_around(visit, kept))


@router.post("/{number}/edit")
def change_tune(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Change what the band says of a tune."""
    address = f"/tunes/{number}"
    kept = act.one_tune(visit.session, visit.band, number)
    around = _around(visit, kept)
    visit.expects(EDIT, typed.form(f"{address}/edit", address), ALL_FIELDS, **around)
    present = kept.noun.record
    record = replace(
        checked(typed).record(str(number)),
        part_starts=present.part_starts,
        phrase_starts=present.phrase_starts,
    )
    seen = typed.seen_version()
    rules = rulebook_of(visit.session, visit.band)
    act.change_tune(visit.session, visit.band, number, seen, record, rules)
    return visit.go(address, "saved")


@router.post("/{number}/file")
def replace_music(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Put another file in place of a tune's music."""
    read = act.read_upload(
        upload_of(typed, visit.settings.largest_tune_file_bytes),
        chosen_numbers(typed.text("tune")),
        visit.settings.largest_tune_file_bytes,
    )
    act.replace_music(visit.session, visit.band, number, typed.seen_version(), read)
    return visit.go(f"/tunes/{number}", "saved")


@router.post("/{number}/scan")
def attach_scan(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Attach a picture or PDF of a sheet, or take it away."""
    is_leaving = typed.text("do") == "remove"
    file = None if is_leaving else upload_of(typed, visit.settings.largest_attachment_bytes)
    act.attach(visit.session, visit.band, number, typed.seen_version(), file)
    return visit.go(f"/tunes/{number}", "saved")


@router.post("/{number}/drum-scan")
def attach_drum_scan(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Attach a picture or PDF of the drum score, or take it away."""
    is_leaving = typed.text("do") == "remove"
    file = None if is_leaving else upload_of(typed, visit.settings.largest_attachment_bytes)
    act.attach(visit.session, visit.band, number, typed.seen_version(), file, "drum_scan")
    return visit.go(_came_from(typed, number), "saved")


@router.post("/{number}/drum-score")
def attach_drum_score(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Keep the drummers' score with its tune, or take it away."""
    is_leaving = typed.text("do") == "remove"
    limit = visit.settings.largest_tune_file_bytes
    score = None if is_leaving else upload_of(typed, limit)
    if score is not None:
        check_drum_score(score, limit)
    keep_drum_score(visit.session, visit.band, number, typed.seen_version(), score)
    return visit.go(_came_from(typed, number), "saved")


def _came_from(typed: Typed, number: int) -> str:
    """The grid of the drum score for who sent it from there, else the tune."""
    return f"/tunes/{number}{'/drum-score' if typed.text('back') == 'grid' else ''}"


@router.post("/{number}/delete")
def remove_tune(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Take a tune out of the library."""
    act.remove_tune(visit.session, visit.band, number, typed.seen_version())
    return visit.go("/tunes", "removed")


def checked(typed: Typed) -> TuneForm:
    """What was typed about a tune, checked."""
    told: dict[str, Any] = {name: typed.text(name) for name in FIELDS if typed.text(name)}
    told["tags"] = typed.all("tags")
    if typed.text("outline.metre"):
        told["outline"] = outline_of(typed)
    return TuneForm.model_validate(told)


def outline_of(typed: Typed) -> dict[str, Any]:
    """The outline of a tune without notes: its metre, and each part as bars and times played."""
    parts = [
        (typed.text(f"bars.{row}"), typed.text(f"times.{row}") or "1")
        for row in range(OUTLINE_ROWS)
        if typed.text(f"bars.{row}")
    ]
    return {"metre": typed.text("outline.metre"), "parts": parts}


def idiom_choices(visit: Visit, first: str) -> Choices:
    """The idioms of the rule book, the first line standing for none."""
    names = rulebook_of(visit.session, visit.band).names("idioms")
    return (("", first), *((word, word) for word in (name.replace("_", " ") for name in names)))


def _around(visit: Visit, kept: Kept[LibraryTune]) -> dict[str, Any]:
    """Everything on the page of the form beside what was typed."""
    about = about_tune(kept)
    return {
        "about": about,
        "address": f"/tunes/{about.key}",
        "has_file": kept.noun.record.file is not None,
        "idioms": idiom_choices(visit, "as the file says"),
        "tags": OCCASIONS,
        "centres": TONAL_CENTRES,
        "rows": range(OUTLINE_ROWS),
    }


def upload_of(typed: Typed, limit: int) -> NewFile:
    """The chosen file.

    Raises:
        RequestError: none was chosen.
    """
    upload = typed.file("file")
    if upload is None:
        raise RequestError("file", "no file is chosen", "choose one, then send it again")
    return new_file(upload, limit)


def _told(record: TuneRecord) -> Told:
    outline = record.outline
    return Told(
        title=record.title,
        idiom=record.idiom,
        tempo_bpm=record.tempo_bpm,
        phrase_bars=record.phrase_bars,
        line_bars=record.line_bars,
        tonal_centre=record.tonal_centre,
        tags=record.tags,
        credits=record.credits,
        permission=record.permission,
        standard_setting=record.standard_setting,
        remarks=record.remarks,
        metre=str(outline.metre) if outline else "",
        parts=outline.parts if outline else (),
    )
