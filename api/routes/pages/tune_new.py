"""A new tune: read a file or text, look at it, keep it; or enter a tune without notes.

Nothing is stored while somebody looks: the music goes to the page and comes back with it.
"""

from __future__ import annotations

import base64
import binascii
from typing import Any

from fastapi.responses import Response

from api.actions import tunes as act
from api.actions.reading import read_music
from api.actions.records import NewFile
from api.actions.rules import rulebook_of
from api.display.choices import OCCASIONS, TONAL_CENTRES
from api.display.form import FormView
from api.display.pages.tune_form import OUTLINE_ROWS
from api.display.pages.tunes import read_tune_views
from api.routes.later import LaterRouter
from api.routes.pages.tune_edit import ALL_FIELDS, checked, idiom_choices
from api.routes.pages.typed import Typed, TypedDep
from api.routes.pages.visit import Visit, VisitDep
from api.routes.tune_forms import chosen_numbers, new_file
from planner.errors import RequestError
from planner.event.event import Occasion

router = LaterRouter(prefix="/tunes")

NEW, CHECK, OUTLINE = "pages/tune_new.html", "pages/tune_check.html", "pages/tune_outline.html"
PASTED = "pasted.abc"
TEXT_KINDS = (".abc", ".txt")


@router.get("/new")
def new_tune(visit: VisitDep) -> Response:
    """The ways in: a file, pasted text, or a tune without notes."""
    return visit.show(NEW, form=FormView("/tunes/new/check"))


@router.post("/new/check")
def check_music(visit: VisitDep, typed: TypedDep) -> Response:
    """What is in the file: findings and music of every tune, before anything is kept."""
    limit = visit.settings.largest_tune_file_bytes
    form = _carrying(typed.form("/tunes/new/check"), None)
    visit.expects(NEW, form, ("file",))
    file = _music(typed, limit)
    form = _carrying(typed.form("/tunes/new/keep"), file)
    visit.expects(NEW, _carrying(typed.form("/tunes/new/check"), file), ("file",))
    read = read_music(file, limit)
    views = read_tune_views((number, r.tune, r.findings) for number, r in enumerate(read, start=1))
    return visit.show(CHECK, form=form, tunes=views, file_name=file.name, tags=OCCASIONS)


@router.post("/new/keep")
def keep_music(visit: VisitDep, typed: TypedDep) -> Response:
    """Keep the chosen tunes of what was looked at."""
    limit = visit.settings.largest_tune_file_bytes
    file = _music(typed, limit)
    visit.expects(NEW, _carrying(typed.form("/tunes/new/check"), file), ("file",))
    chosen = chosen_numbers(",".join(typed.all("tune")))
    if chosen is None:
        raise RequestError("file", "no tune is chosen", "read it again and tick what to keep")
    read = act.read_upload(file, chosen, limit)
    tags = tuple(Occasion(tag) for tag in typed.all("tags") if tag in dict(OCCASIONS))
    kept = act.keep_upload(visit.session, visit.band, read, tags, typed.text("permission")[:300])
    return visit.go(f"/tunes/{kept[0].id}" if len(kept) == 1 else "/tunes", "added")


@router.get("/new/outline")
def new_outline(visit: VisitDep) -> Response:
    """The form of a tune without notes."""
    values = {f"bars.{row}": ("8",) for row in range(2)} | {
        f"times.{row}": ("2",) for row in range(2)
    }
    return visit.show(OUTLINE, form=FormView("/tunes/new/outline", values), **_around(visit))


@router.post("/new/outline")
def keep_outline(visit: VisitDep, typed: TypedDep) -> Response:
    """Keep a tune that is known by its outline only, with its scan."""
    form = typed.form("/tunes/new/outline")
    visit.expects(OUTLINE, form, (*ALL_FIELDS, "scan"), **_around(visit))
    record = checked(typed).record()
    upload = typed.file("file")
    scan = new_file(upload, visit.settings.largest_attachment_bytes) if upload else None
    rules = rulebook_of(visit.session, visit.band)
    kept = act.add_outline(visit.session, visit.band, record, rules, scan)
    return visit.go(f"/tunes/{kept.id}", "added")


def _music(typed: Typed, limit: int) -> NewFile:
    """The music that was chosen, typed, or came back with the page.

    Raises:
        RequestError: there is none.
    """
    upload = typed.file("file")
    if upload is not None:
        return new_file(upload, limit)
    name = typed.text("file_name") or PASTED
    if typed.text("text"):
        return NewFile(name, "text/vnd.abc", typed.text("text").encode())
    if typed.text("packed"):
        return NewFile(name, "application/octet-stream", _unpacked(typed.text("packed")))
    raise RequestError("file", "there is no music yet", "choose a file or paste the text")


def _unpacked(packed: str) -> bytes:
    try:
        return base64.b64decode(packed, validate=True)
    except binascii.Error:
        raise RequestError("file", "the music was lost on the way", "choose it again") from None


def _carrying(form: FormView, file: NewFile | None) -> FormView:
    """The form with the music in it, as text that can be corrected where it is text."""
    if file is None:
        return form
    values = {**form.values, "file_name": (file.name,), "text": ("",), "packed": ("",)}
    text = _as_text(file)
    if text:
        values["text"] = (text,)
    else:
        values["packed"] = (base64.b64encode(file.content).decode(),)
    return FormView(form.action, values)


def _as_text(file: NewFile) -> str:
    """The text of a file that a person can correct; empty for any other."""
    if not file.name.lower().endswith(TEXT_KINDS):
        return ""
    try:
        return file.content.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError:
        return ""


def _around(visit: Visit) -> dict[str, Any]:
    return {
        "idioms": idiom_choices(visit, "not known"),
        "tags": OCCASIONS,
        "centres": TONAL_CENTRES,
        "rows": range(OUTLINE_ROWS),
    }
