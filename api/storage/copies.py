"""How is a whole library copied while the service runs, and put back?

On SQLite a copy is made by the database's own backup, page by page, which sees one moment however
many people write meanwhile. Putting a copy back goes the same way, into the open database.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from api.storage.database import Database
from api.storage.migrate import DatabaseTooNewError, migrate_database, newest_revision
from planner.errors import RequestError


def back_up(database: Database, out: Path) -> int:
    """Copy the whole library into a new file; its size in bytes.

    Raises:
        RequestError: the file is there already or cannot be written, or it is no SQLite library.
    """
    _refuse_others(database)
    if out.exists():
        raise RequestError("out", f"{out} is there already", "name a new file")
    part = out.with_name(f"{out.name}.part")
    try:
        with closing(sqlite3.connect(part)) as target, _raw(database) as source:
            source.backup(target)
            target.execute("PRAGMA journal_mode=DELETE")
        part.replace(out)
    except (sqlite3.Error, OSError) as error:
        part.unlink(missing_ok=True)
        raise RequestError("out", f"{out} cannot be written", "choose another place") from error
    return out.stat().st_size


def put_back(database: Database, source: Path) -> None:
    """Put a copy in place of everything the library holds.

    Raises:
        RequestError: the file is not there, damaged, or no library of ours.
        DatabaseTooNewError: it was written by a newer version of this service.
    """
    _refuse_others(database)
    if not source.is_file():
        raise RequestError("file", f"{source} is not there", "name a file made by backup")
    try:
        with closing(sqlite3.connect(f"{source.absolute().as_uri()}?mode=ro", uri=True)) as copy:
            _check(copy, source)
            with _raw(database) as target:
                copy.backup(target)
    except sqlite3.Error as error:
        raise RequestError(
            "file", f"{source} could not be put back ({error})", "try it again"
        ) from error
    migrate_database(database)


def _check(copy: sqlite3.Connection, source: Path) -> None:
    remedy = "name a file made by backup"
    try:
        (verdict,) = copy.execute("PRAGMA integrity_check").fetchone()
        (revision,) = copy.execute("SELECT version_num FROM alembic_version").fetchone()
        copy.execute("SELECT count(*) FROM band").fetchone()
    except (sqlite3.Error, TypeError) as error:
        raise RequestError("file", f"{source} is no library of Pacestick", remedy) from error
    if verdict != "ok":
        raise RequestError("file", f"{source} is damaged ({verdict})", remedy)
    if revision > newest_revision():
        raise DatabaseTooNewError(revision, newest_revision())


@contextmanager
def _raw(database: Database) -> Iterator[sqlite3.Connection]:
    held = database.engine.raw_connection()
    try:
        connection = held.driver_connection
        if not isinstance(connection, sqlite3.Connection):
            raise RequestError("library", "it is not kept in SQLite", "export it instead")
        yield connection
    finally:
        held.close()


def _refuse_others(database: Database) -> None:
    if database.engine.dialect.name != "sqlite":
        problem = f"it is kept in {database.engine.dialect.name}, not in SQLite"
        raise RequestError(
            "library", problem, "use that database's own tools, or export and import"
        )
