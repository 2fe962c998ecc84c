"""The page of a pack: ask for it, see how far it is, come back and take it away."""

from __future__ import annotations

from fastapi.responses import Response, StreamingResponse

from api.actions.pack import PackWish, print_pack
from api.actions.pack_jobs import PackKey, PackState
from api.actions.paper_version import made_of
from api.actions.planning import EventPlan, plan_of_event
from api.actions.print_order import unnoted_titles
from api.actions.records import NotFoundError
from api.dependencies import BandDep, DatabaseDep, PacksDep
from api.display.pages.pack import PackView, file_links, progress_words
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.progress import Step, progress_stream
from api.routes.pages.typed import TypedDep
from api.routes.pages.visit import VisitDep
from api.routes.sheets import WishDep

router = LaterRouter(prefix="/events")

PAGE = "pages/pack.html"


@router.get("/{number}/pack")
def pack(number: RowNumber, visit: VisitDep, packs: PacksDep) -> Response:
    """How far the pack of an event is, and what is in it once it is ready."""
    plan = plan_of_event(visit.session, visit.band, number)
    view = _view(plan, packs.state(PackKey(visit.band, number)))
    return visit.show(PAGE, view=view)


@router.post("/{number}/pack")
def print_it(
    number: RowNumber,
    visit: VisitDep,
    database: DatabaseDep,
    packs: PacksDep,
    wish: WishDep,
    typed: TypedDep,
) -> Response:
    """Begin to print; where a permission is missing, ask once before."""
    plan, band = plan_of_event(visit.session, visit.band, number), visit.band
    if not unnoted_titles(plan) or typed.text("ask") == "done":
        wanted = PackWish(wish, visit.settings.noticeboard_names_outs)
        packs.start(
            PackKey(band, number),
            made_of(plan),
            lambda progress: print_pack(database, band, number, wanted, progress),
        )
    return visit.go(f"/events/{number}/pack")


@router.get("/{number}/pack/progress")
def pack_progress(number: RowNumber, band: BandDep, packs: PacksDep) -> StreamingResponse:
    """How far it is, told as it goes on."""
    key = PackKey(band, number)
    return progress_stream(lambda: _step(packs.state(key)))


@router.get("/{number}/pack/all.zip")
def everything(number: RowNumber, band: BandDep, packs: PacksDep) -> Response:
    """Everything in one zip file."""
    content = packs.content(PackKey(band, number))
    if content is None:
        raise NotFoundError("printed pack of the event", number)
    headers = {"Content-Disposition": f'attachment; filename="event-{number}.zip"'}
    return Response(content, media_type="application/zip", headers=headers)


@router.get("/{number}/pack/files/{name:path}")
def one_paper(number: RowNumber, name: str, band: BandDep, packs: PacksDep) -> Response:
    """One paper out of the pack."""
    content = packs.file(PackKey(band, number), name)
    if content is None:
        raise NotFoundError("paper in the printed pack called", name)
    short = name.rsplit("/", 1)[-1]
    headers = {"Content-Disposition": f'inline; filename="{short}"'}
    return Response(content, media_type="application/pdf", headers=headers)


def _step(state: PackState | None) -> Step:
    if state is None:
        return Step(0, 0, "", is_over=True)
    return Step(state.done, state.total, progress_words(state.done, state.total), state.is_over)


def _view(plan: EventPlan, state: PackState | None) -> PackView:
    event = plan.planned.event
    address = f"/events/{event.key}/pack"
    if state is None:
        return PackView(address, event.name, asks=unnoted_titles(plan))
    sheets, players = file_links(address, event.name, state.files)
    return PackView(
        address,
        event.name,
        asks=unnoted_titles(plan),
        is_running=not state.is_over,
        is_ready=state.is_ready,
        is_old=state.is_over and state.made_of != made_of(plan),
        done=state.done,
        total=state.total,
        said=progress_words(state.done, state.total),
        version=state.version,
        problem=state.problem,
        sheets=sheets,
        players=players,
    )
