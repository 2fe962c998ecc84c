"""How is the service put together?

``create_app(settings)`` makes a whole service; nothing is global and nothing is opened before it
starts. At start the database is opened and brought up to date, the rule book is read, and with
``settings.demo`` an empty library gets the demo band.
"""

from __future__ import annotations

import gc
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from threading import Lock

from fastapi import APIRouter, FastAPI
from starlette.middleware.gzip import GZipMiddleware
from starlette.types import ASGIApp, Receive, Scope, Send

from api.actions.demo import load_demo
from api.actions.pack_jobs import PackJobs
from api.actions.shelf import shelve
from api.errors import answer_errors
from api.routes import exports, health, pages, played, sheets
from api.routes.api import json_router
from api.routes.later import put_together
from api.security import Guard
from api.settings import Settings, seed_data_dir
from api.sharing import keep_reading_key
from api.storage.library import open_library
from planner.rules.load import load_rulebook

# What lies below each address? Put together when first asked for: see ``routes/later.py``.
ROOMS: dict[str, Callable[[], list[tuple[str, APIRouter]]]] = {
    "/api": lambda: [("/api", json_router())],
    "/events": lambda: [
        ("", pages.pages_below("/events")),
        ("", put_together([sheets.reading_router, sheets.router, played.file_router])),
    ],
    "/sets": lambda: [("", pages.pages_below("/sets"))],
    "/tunes": lambda: [
        ("", put_together([exports.router, sheets.tune_router])),
        ("", pages.pages_below("/tunes")),
    ],
    "/players": lambda: [
        ("", pages.pages_below("/players")),
        ("/players", put_together([sheets.reading_router])),
    ],
    "/people": lambda: [("", pages.pages_below("/people"))],
    "/rules": lambda: [("", pages.pages_below("/rules"))],
}


def create_app(settings: Settings) -> FastAPI:
    """The service with these settings, ready to be served."""
    app = FastAPI(
        title="Pacestick",
        summary="Sets, occasions and phrasing for Highland pipe bands",
        openapi_url="/api/openapi.json",
        docs_url=None,
        redoc_url=None,
        lifespan=_open_and_close,
    )
    app.state.settings = settings
    app.state.packs = PackJobs()
    answer_errors(app)
    app.include_router(health.router)
    app.include_router(pages.router)
    pages.prepare(app)
    app.add_middleware(RoomsWhenAsked, service=app)
    app.add_middleware(GZipMiddleware, minimum_size=1_000)
    app.add_middleware(Guard, settings=settings)
    return app


def app_from_environment() -> FastAPI:
    """The service as the environment's settings describe it: what a server process starts from."""
    return create_app(Settings())


@asynccontextmanager
async def _open_and_close(app: FastAPI) -> AsyncIterator[None]:
    load_rulebook()
    settings: Settings = app.state.settings
    if settings.share:
        keep_reading_key(settings.data_dir)
    database = open_library(settings.address_of_database, settings.band_name)
    with database.writing() as session:
        if settings.demo:
            load_demo(session, database.home_band(), seed_data_dir())
        shelve(session, database.home_band())
        session.commit()
    app.state.database = database
    gc.freeze()
    gc.enable()
    yield
    database.close()


class RoomsWhenAsked:
    """Puts the routes below an address together when the first request for one of them comes."""

    def __init__(self, app: ASGIApp, service: FastAPI) -> None:
        self._app = app
        self._service = service
        self._one_at_a_time = Lock()
        self._waiting = set(ROOMS)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, with the routes it may ask for in place."""
        if self._waiting and scope["type"] == "http":
            path = scope["path"].removeprefix(scope.get("root_path", ""))
            self._put_in_place(f"/{path.split('/')[1] if path else ''}")
        await self._app(scope, receive, send)

    def _put_in_place(self, address: str) -> None:
        with self._one_at_a_time:
            if address in self._waiting:
                add_room(self._service, address)
                self._waiting.discard(address)


def add_room(app: FastAPI, address: str) -> None:
    """Put the routes below an address in place."""
    for prefix, router in ROOMS[address]():
        app.include_router(router, prefix=prefix)
