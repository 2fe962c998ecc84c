"""Sheets over HTTP: PDF for the printer. The same sheet has the same ETag, whoever asks for it.

Music whose setting has no note on who allowed the copying asks once before it is printed.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any

from fastapi import Depends, Header, Query, Request, Response

from api.actions.band import the_band
from api.actions.pack import PackWish, print_pack
from api.actions.print_order import settings_without_permission, titles_without_permission
from api.actions.records import BandId, Database, Session
from api.actions.sheets import Draft, Sheet, Wish, draft_sheet
from api.actions.side_by_side import draft_side_by_side
from api.dependencies import BandDep, DatabaseDep, SettingsDep
from api.routes.compare import setting_of
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.visit import fill_in
from api.settings import PrintFormat
from api.sharing import reading_address

reading_router = LaterRouter(tags=["sheets"], default_response_class=Response)
"""The sheets of an event that players may print too."""
router = LaterRouter(tags=["sheets"], default_response_class=Response)
tune_router = LaterRouter(tags=["sheets"], default_response_class=Response)

Responses = dict[int | str, dict[str, Any]]
PDF: Responses = {200: {"content": {"application/pdf": {}}, "description": "The sheet."}}
ASKED: Responses = {
    200: {
        "content": {"application/pdf": {}, "text/html": {}},
        "description": "The sheet, or the question that comes before it.",
    }
}
ZIP: Responses = {
    200: {
        "content": {"application/zip": {}, "text/html": {}},
        "description": "Every sheet, or the question that comes before them.",
    }
}

SeenPaper = Annotated[str | None, Header(alias="If-None-Match")]
ReaderNumber = Annotated[
    int | None, Query(gt=0, lt=2**31, description="make the cards this player's own")
]
PlayerNumber = Annotated[int, Query(gt=0, lt=2**31, description="whose sheet it is")]
Asked = Annotated[
    str, Query(max_length=10, description="`done` when the owners of the settings were asked")
]
Half = Annotated[bool, Query(description="music on half sheets")]
Harmony = Annotated[bool, Query(description="with the pipe harmony of each tune that has one")]
Folded = Annotated[bool, Query(description="two sides beside each other, to be folded once")]
Kind = Annotated[str, Query(max_length=60, description="such as `parade:own-band`")]


def wish_of(
    settings: SettingsDep,
    paper: Annotated[PrintFormat | None, Query(description="the paper in the printer")] = None,
) -> Wish:
    """On which paper, and the address where whoever holds a sheet can read its newest version."""
    return Wish(paper or settings.paper, address=reading_address(settings))


WishDep = Annotated[Wish, Depends(wish_of)]


@reading_router.get("/events/{number}/set-cards.pdf", responses=PDF)
def get_set_cards(
    number: RowNumber,
    database: DatabaseDep,
    band: BandDep,
    wish: WishDep,
    person: ReaderNumber = None,
    folded: Folded = False,
    seen: SeenPaper = None,
) -> Response:
    """The set cards of an event, A6, for the band or for one player."""
    wanted = Wish(wish.format, is_folded=folded, address=wish.address)
    return _answer(draft_sheet(database, band, number, Sheet.SET_CARDS, person, wanted), seen)


@reading_router.get("/events/{number}/phrased-music.pdf", responses=ASKED)
def get_phrased_music(
    number: RowNumber,
    database: DatabaseDep,
    band: BandDep,
    wish: WishDep,
    request: Request,
    half: Half = False,
    harmony: Harmony = False,
    ask: Asked = "",
    seen: SeenPaper = None,
) -> Response:
    """The music of an event with this occasion's marks, A4 or half sheets."""
    titles = _unnoted(settings_without_permission, database, band, number)
    if titles and ask != "done":
        return _question(request, database, band, titles)
    wanted = Wish(wish.format, is_half=half, address=wish.address, has_harmony=harmony)
    return _answer(draft_sheet(database, band, number, Sheet.PHRASED_MUSIC, wish=wanted), seen)


@reading_router.get("/events/{number}/drum-sheet.pdf", responses=PDF)
def get_drum_sheet(
    number: RowNumber,
    database: DatabaseDep,
    band: BandDep,
    wish: WishDep,
    seen: SeenPaper = None,
) -> Response:
    """Every tune of an event as a strip of bars for the drummers, A4."""
    return _answer(draft_sheet(database, band, number, Sheet.DRUM_SHEET, wish=wish), seen)


@reading_router.get("/events/{number}/call-sheet.pdf", responses=PDF)
def get_call_sheet(
    number: RowNumber,
    database: DatabaseDep,
    band: BandDep,
    wish: WishDep,
    seen: SeenPaper = None,
) -> Response:
    """When, where, in what and how many, A4."""
    return _answer(draft_sheet(database, band, number, Sheet.CALL_SHEET, wish=wish), seen)


@reading_router.get("/events/{number}/running-order.pdf", responses=PDF)
def get_running_order(
    number: RowNumber,
    database: DatabaseDep,
    band: BandDep,
    wish: WishDep,
    seen: SeenPaper = None,
) -> Response:
    """What comes when, each set with its tunes, A4."""
    return _answer(draft_sheet(database, band, number, Sheet.RUNNING_ORDER, wish=wish), seen)


@reading_router.get("/events/{number}/joins.pdf", responses=PDF)
def get_joins(
    number: RowNumber,
    database: DatabaseDep,
    band: BandDep,
    wish: WishDep,
    seen: SeenPaper = None,
) -> Response:
    """The last two bars of each tune beside the first two of the next, A4."""
    return _answer(draft_sheet(database, band, number, Sheet.JOINS, wish=wish), seen)


@reading_router.get("/events/{number}/outs.pdf", responses=PDF)
def get_outs(
    number: RowNumber,
    database: DatabaseDep,
    band: BandDep,
    wish: WishDep,
    person: PlayerNumber,
    seen: SeenPaper = None,
) -> Response:
    """What one player does in every tune, A6."""
    return _answer(draft_sheet(database, band, number, Sheet.OUTS, person, wish), seen)


@reading_router.get("/events/{number}/learner-card.pdf", responses=PDF)
def get_learner_card(
    number: RowNumber,
    database: DatabaseDep,
    band: BandDep,
    wish: WishDep,
    person: PlayerNumber,
    seen: SeenPaper = None,
) -> Response:
    """One player's tunes with the note on every beat, and where to drop out and come back, A5."""
    return _answer(draft_sheet(database, band, number, Sheet.LEARNER_CARD, person, wish), seen)


@router.get("/events/{number}/pack.zip", responses=ZIP)
def get_pack(
    number: RowNumber,
    database: DatabaseDep,
    band: BandDep,
    wish: WishDep,
    settings: SettingsDep,
    request: Request,
    ask: Asked = "",
) -> Response:
    """Every sheet of an event in one file, with one for each player and one for the noticeboard."""
    titles = _unnoted(settings_without_permission, database, band, number)
    if titles and ask != "done":
        return _question(request, database, band, titles)
    packed = print_pack(database, band, number, PackWish(wish, settings.noticeboard_names_outs))
    headers = {"Content-Disposition": f'attachment; filename="event-{number}.zip"'}
    return Response(packed, media_type="application/zip", headers=headers)


@tune_router.get("/tunes/{number}/side-by-side.pdf", responses=ASKED)
def get_side_by_side(
    number: RowNumber,
    database: DatabaseDep,
    band: BandDep,
    wish: WishDep,
    request: Request,
    left: Kind = "parade:own-band",
    right: Kind = "exhibition:standing",
    ask: Asked = "",
    seen: SeenPaper = None,
) -> Response:
    """One tune on two occasions, A4 across."""
    titles = _unnoted(titles_without_permission, database, band, number)
    if titles and ask != "done":
        return _question(request, database, band, titles)
    settings = (setting_of(left), setting_of(right))
    query = f"?left={left}&right={right}"
    return _answer(draft_side_by_side(database, band, number, settings, wish, query), seen)


def _unnoted(
    find: Callable[[Session, BandId, int], tuple[str, ...]],
    database: Database,
    band: BandId,
    number: int,
) -> tuple[str, ...]:
    """The titles to ask about; the library is let go before anything is printed."""
    with database.reading() as session:
        return find(session, band, number)


def _question(
    request: Request, database: Database, band: BandId, titles: tuple[str, ...]
) -> Response:
    go_on = request.url.include_query_params(ask="done")
    with database.reading() as session:
        name = the_band(session, band).noun.name
    address = f"{go_on.path}?{go_on.query}"
    return fill_in(request, "pages/ask_permission.html", name, titles=titles, address=address)


def _answer(draft: Draft, seen: str | None) -> Response:
    tag = f'"{draft.digest}"'
    headers = {"ETag": tag, "Content-Disposition": f'inline; filename="{draft.file_name}"'}
    if seen is not None and tag in seen:
        return Response(status_code=304, headers=headers)
    return Response(draft.print(), media_type="application/pdf", headers=headers)
