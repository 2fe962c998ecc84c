"""What does a route need, and who may do what?

A route's signature says what it needs: ``SettingsDep``, ``DatabaseDep``, ``SessionDep`` (for
looking on GET, for changing otherwise), ``BandDep`` (the band whose library is open for this
person: the one place that decides who may do what), ``SeenVersionDep`` (the version a change was
made from). They need nothing but the request: a chain of needs is worked out anew for every route
when the service starts, and a person waits for that.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from fastapi import Depends, Header, Request

from api.actions.pack_jobs import PackJobs
from api.errors import VersionMissingError
from api.security import SAFE_METHODS
from api.settings import Settings
from api.storage.database import BandId, Database, Session

NEVER_A_VERSION = -1


def settings_of(request: Request) -> Settings:
    """The settings this app was made with."""
    settings: Settings = request.app.state.settings
    return settings


def database_of(request: Request) -> Database:
    """The database of this app."""
    database: Database = request.app.state.database
    return database


def packs_of(request: Request) -> PackJobs:
    """The packs this app prints and keeps."""
    packs: PackJobs = request.app.state.packs
    return packs


SettingsDep = Annotated[Settings, Depends(settings_of)]
DatabaseDep = Annotated[Database, Depends(database_of)]
PacksDep = Annotated[PackJobs, Depends(packs_of)]


def open_session(request: Request) -> Iterator[Session]:
    """A session for one request; it asks the database nothing by itself."""
    database = database_of(request)
    opened = database.reading if request.method in SAFE_METHODS else database.writing
    with opened() as session:
        yield session


def band_of(request: Request) -> BandId:
    """The band whose library this person may see and change: so far, everybody the home band's."""
    return database_of(request).home_band()


def seen_version(if_match: Annotated[str | None, Header()] = None) -> int | None:
    """The version a change was made from; None for ``*``, any version.

    Raises:
        VersionMissingError: there is no If-Match.
    """
    if if_match is None:
        raise VersionMissingError
    if if_match.strip() == "*":
        return None
    tag = if_match.strip()
    is_ours = len(tag) > 2 and tag[0] == tag[-1] == '"' and tag[1:-1].isascii()
    return int(tag[1:-1]) if is_ours and tag[1:-1].isdigit() else NEVER_A_VERSION


SessionDep = Annotated[Session, Depends(open_session)]
BandDep = Annotated[BandId, Depends(band_of)]
SeenVersionDep = Annotated[int | None, Depends(seen_version)]
