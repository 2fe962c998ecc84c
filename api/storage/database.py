"""How is the database opened, and what does a transaction look like?

One ``Database`` belongs to one app. ``reading()`` and ``writing()`` give sessions; on SQLite a
writing session takes the write lock at its first statement (BEGIN IMMEDIATE), so that two people
who change things wait for each other instead of failing half-way. Everything special to SQLite is
here and in ``copies.py``. Actions commit; a session closed without commit loses what it did.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, NewType

from sqlalchemy import Connection, Engine, event, func, text
from sqlalchemy.engine import make_url
from sqlalchemy.exc import SQLAlchemyError
from sqlmodel import Session, create_engine, select

from api.storage.tables import BandRow

__all__ = ["BandId", "Database", "Session", "found_band", "open_database"]

BandId = NewType("BandId", int)
"""Identity of the band whose library is open; never mixed up with other numbers."""

BUSY_TIMEOUT_MS = 5_000
IS_WRITING = "pacestick_writes"


@dataclass(slots=True)
class Database:
    """An opened database: the engine, and the band that calls it home."""

    engine: Engine
    _home: BandId | None = field(default=None, init=False)

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """A session for looking; it never waits for a writer."""
        with Session(self.engine, expire_on_commit=False) as session:
            yield session

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """A session for changing; it waits up to five seconds for another writer."""
        engine = self.engine.execution_options(**{IS_WRITING: True})
        with Session(engine, expire_on_commit=False) as session:
            yield session

    def home_band(self) -> BandId:
        """The band of a service that holds one band: the first that was founded."""
        if self._home is None:
            with self.reading() as session:
                first = session.exec(select(func.min(BandRow.id))).one()
            if first is None:
                raise LookupError("no band has been founded in this database")
            self._home = BandId(first)
        return self._home

    def answers(self) -> bool:
        """True when the database can be asked."""
        try:
            with self.reading() as session:
                session.execute(text("SELECT 1"))
        except SQLAlchemyError:
            return False
        return True

    def close(self) -> None:
        """Let go of every connection."""
        self.engine.dispose()


def open_database(url: str) -> Database:
    """Open a database by its URL; the folder of a SQLite file is made when it is missing."""
    address = make_url(url)
    is_sqlite = address.get_backend_name() == "sqlite"
    if is_sqlite and address.database and address.database != ":memory:":
        _make_folder(address.database)
    engine = create_engine(address, pool_pre_ping=not is_sqlite)
    if is_sqlite:
        _speak_sqlite(engine)
    return Database(engine)


def found_band(session: Session, name: str) -> None:
    """Found the home band in an empty database; an existing band is left alone."""
    if session.exec(select(BandRow.id)).first() is None:
        session.add(BandRow(name=name))
        session.commit()


def _make_folder(file: str) -> None:
    Path(file).expanduser().parent.mkdir(parents=True, exist_ok=True)


def _speak_sqlite(engine: Engine) -> None:
    event.listen(engine, "connect", _prepare_connection)
    event.listen(engine, "begin", _begin)


def _prepare_connection(connection: Any, _record: Any) -> None:
    # pysqlite would otherwise open transactions by itself, too late and without the lock.
    connection.isolation_level = None
    for pragma in (f"busy_timeout={BUSY_TIMEOUT_MS}", "foreign_keys=ON", "journal_mode=WAL"):
        connection.execute(f"PRAGMA {pragma}")


def _begin(connection: Connection) -> None:
    writes = connection.get_execution_options().get(IS_WRITING, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
