"""How is the service put together?

``create_app(settings)`` makes a whole service; nothing is global and nothing is opened before it
starts. At start the database is opened and brought up to date, the rule book is read, and with
``settings.demo`` an empty library gets the demo band.
"""

from __future__ import annotations

import importlib
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from importlib.util import find_spec
from types import ModuleType

from fastapi import FastAPI
from starlette.middleware.gzip import GZipMiddleware

from api.actions.demo import load_demo
from api.errors import answer_errors
from api.routes import health
from api.routes.api import router as api_router
from api.security import Guard
from api.settings import Settings, seed_data_dir
from api.storage.library import open_library
from planner.rules.load import load_rulebook

# Which rooms bring their own routes, when they are there?
PAGES = importlib.import_module("api.routes.pages") if find_spec("api.routes.pages") else None
SHEETS = importlib.import_module("api.routes.sheets") if find_spec("api.routes.sheets") else None


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
    answer_errors(app)
    app.include_router(health.router)
    app.include_router(api_router, prefix="/api")
    for room in (PAGES, SHEETS):
        _include_when_there(app, room)
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
    database = open_library(settings.address_of_database, settings.band_name)
    if settings.demo:
        with database.writing() as session:
            load_demo(session, database.home_band(), seed_data_dir())
    app.state.database = database
    yield
    database.close()


def _include_when_there(app: FastAPI, room: ModuleType | None) -> None:
    if room is None:
        return
    app.include_router(room.router)
    prepare = getattr(room, "prepare", None)
    if prepare is not None:
        prepare(app)
