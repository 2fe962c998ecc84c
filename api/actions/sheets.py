"""How does an event get on paper? Everything is fetched, put into words, drawn and printed.

The library is asked first and let go; drawing and printing take their time without it. A paper is
remembered by what it says, so the same sheet is printed once.
"""

from __future__ import annotations

import hashlib
import io
import zipfile
from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum

from api.actions.last_print import changes_since_last_print
from api.actions.memo import Memo
from api.actions.print_order import PrintOrder, take_order
from api.display.call_sheet import call_sheet_view
from api.display.drum_sheet import drum_sheet_view
from api.display.phrased_music import TunePictures, phrased_music_view
from api.display.pictures import opening_picture, scan_picture, tune_pictures
from api.display.planned import PlannedEntry
from api.display.set_card import front_card_view, set_card_views
from api.printing.sheets import call_sheet_pdf, drum_sheet_pdf, phrased_music_pdf, set_cards_pdf
from api.storage.database import BandId, Database

# How many papers are remembered? Those of a few events, some megabytes in all.
_papers = Memo[bytes](limit=40)


class Sheet(StrEnum):
    """The sheets of an event, by the names of their files."""

    SET_CARDS = "set-cards"
    PHRASED_MUSIC = "phrased-music"
    DRUM_SHEET = "drum-sheet"
    CALL_SHEET = "call-sheet"


@dataclass(frozen=True, slots=True)
class Paper:
    """A printed sheet. ``digest`` changes with what it says."""

    pdf: bytes
    file_name: str
    digest: str


@dataclass(frozen=True, slots=True)
class Draft:
    """A sheet in words: ``digest`` tells what it says, ``make`` prints it."""

    digest: str
    make: Callable[[], bytes]


def print_sheet(
    database: Database, band: BandId, number: int, sheet: Sheet, person: int | None = None
) -> Paper:
    """One sheet of an event; with a ``person`` the set cards are that player's own.

    Raises:
        NotFoundError: the band has no such event or person.
        RequestError: a tune has no music to plan, or the person does not play at the event.
        WorkerError: printing took too long, or too much memory.
    """
    with database.reading() as session:
        order = take_order(session, band, number, person)
    return _print(database, band, sheet, order)


def print_pack(database: Database, band: BandId, number: int) -> bytes:
    """Every sheet of an event in one zip file, for whoever stands in for the pipe-major.

    Raises:
        NotFoundError, RequestError, WorkerError: as ``print_sheet``.
    """
    with database.reading() as session:
        order = take_order(session, band, number)
    made_at = order.planned.made_at.timetuple()
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as pack:
        for sheet in Sheet:
            paper = _print(database, band, sheet, order)
            # dated by the event's last change, so that the same event gives the same file
            pack.writestr(zipfile.ZipInfo(paper.file_name, made_at[:6]), paper.pdf)
    return packed.getvalue()


def _print(database: Database, band: BandId, sheet: Sheet, order: PrintOrder) -> Paper:
    draft = _draft(database, band, sheet, order)
    pdf = _papers.get(draft.digest, draft.make)
    return Paper(pdf, _file_name(sheet, order), draft.digest)


def _draft(database: Database, band: BandId, sheet: Sheet, order: PrintOrder) -> Draft:
    if sheet is Sheet.SET_CARDS:
        return _set_cards(order)
    if sheet is Sheet.PHRASED_MUSIC:
        return _phrased_music(order)
    if sheet is Sheet.DRUM_SHEET:
        return _drum_sheet(database, band, order)
    call = call_sheet_view(order.planned)
    return Draft(_digest(sheet, call), lambda: call_sheet_pdf(call))


def _set_cards(order: PrintOrder) -> Draft:
    openings = {each.entry.tune_key: opening_picture(each.tune) for each in order.entries}
    cards = set_card_views(order.planned, openings, order.reader)
    front = front_card_view(order.planned, order.reader)
    return Draft(_digest(Sheet.SET_CARDS, cards, front), lambda: set_cards_pdf(cards, front))


def _phrased_music(order: PrintOrder) -> Draft:
    pictures = {each.entry.tune_key: _pictures(each, order) for each in order.entries}
    music = phrased_music_view(order.planned, pictures, order.unpermitted)
    return Draft(_digest(Sheet.PHRASED_MUSIC, music), lambda: phrased_music_pdf(music))


def _pictures(each: PlannedEntry, order: PrintOrder) -> TunePictures:
    file = order.scans.get(each.entry.tune_key)
    scan = scan_picture(file.content, file.media_type, file.name) if file else None
    drawn = tune_pictures(each.tune, each.plan.marks, (scan,) if scan else ())
    return replace(drawn, kept_as=file.name) if file and not scan else drawn


def _drum_sheet(database: Database, band: BandId, order: PrintOrder) -> Draft:
    drums = drum_sheet_view(order.planned)
    version = order.planned.event.version
    changes = changes_since_last_print(database, band, order.number, version, drums)
    told = replace(drums, changes=changes)
    return Draft(_digest(Sheet.DRUM_SHEET, told), lambda: drum_sheet_pdf(told))


def _digest(sheet: Sheet, *views: object) -> str:
    """A view is words and pictures only, so its text says all there is."""
    return hashlib.sha256(repr((sheet, *views)).encode()).hexdigest()


def _file_name(sheet: Sheet, order: PrintOrder) -> str:
    """Such as ``harvest-parade-drum-sheet-v3.pdf``; letters a file system may not know are gone."""
    event = order.planned.event
    plain = "".join(c if c.isascii() and c.isalnum() else " " for c in event.name.lower())
    return f"{'-'.join(plain.split()) or 'event'}-{sheet}-v{event.version}.pdf"
