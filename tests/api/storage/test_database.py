"""How the database is opened, locked and closed."""

import sqlite3
import threading
import time
from pathlib import Path

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient
from sqlalchemy import text
from sqlalchemy.dialects import postgresql
from sqlalchemy.exc import IntegrityError
from sqlalchemy.schema import CreateIndex, CreateTable

from api.settings import Settings
from api.storage import database as opened_database
from api.storage.database import Database, Session
from api.storage.event_tables import EventRow
from api.storage.tables import EntryRow, PersonRow
from tests.api.library import AT_THIS_MACHINE, a_set, a_tune, an_event, stored


def pragma(session: Session, name: str) -> object:
    return session.execute(text(f"PRAGMA {name}")).scalar()


def test_sqlite_writes_ahead_checks_references_and_waits_five_seconds(session: Session) -> None:
    assert pragma(session, "journal_mode") == "wal"
    assert pragma(session, "foreign_keys") == 1
    assert pragma(session, "busy_timeout") == 5_000


def test_a_row_that_points_nowhere_is_refused(session: Session) -> None:
    session.add(EntryRow(band_id=1, set_id=77, position=0, tune_id=77))
    with pytest.raises(IntegrityError, match="FOREIGN KEY"):
        session.flush()


def test_a_second_writer_waits_for_the_first(database: Database) -> None:
    order: list[str] = []

    def write_second() -> None:
        with database.writing() as session:
            session.add(PersonRow(band_id=1, name="Second", instrument="pipes"))
            session.commit()
            order.append("second")

    with database.writing() as session:
        session.add(PersonRow(band_id=1, name="First", instrument="pipes"))
        session.flush()
        waiting = threading.Thread(target=write_second)
        waiting.start()
        time.sleep(0.2)
        order.append("first")
        session.commit()
    waiting.join()
    assert order == ["first", "second"]


def test_a_reader_does_not_wait_for_a_writer(database: Database) -> None:
    with database.writing() as writer:
        writer.add(PersonRow(band_id=1, name="Unseen", instrument="pipes"))
        writer.flush()
        with database.reading() as reader:
            assert reader.execute(text("SELECT count(*) FROM person")).scalar() == 0


def test_what_is_not_committed_is_lost(database: Database) -> None:
    with database.writing() as session:
        session.add(PersonRow(band_id=1, name="Lost", instrument="pipes"))
        session.flush()
    with database.reading() as session:
        assert session.execute(text("SELECT count(*) FROM person")).scalar() == 0


def test_a_locked_library_is_503_and_one_sentence(
    client: TestClient, app: FastAPI, settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(opened_database, "BUSY_TIMEOUT_MS", 50)
    app.state.database.close()
    holder = sqlite3.connect(settings.data_dir / "pacestick.sqlite3", isolation_level=None)
    holder.execute("BEGIN IMMEDIATE")
    answer = client.post("/api/people", json={"name": "Ada", "instrument": "pipes"})
    holder.execute("ROLLBACK")
    holder.close()
    assert (answer.status_code, answer.headers["retry-after"]) == (503, "2")
    assert answer.json()["detail"].endswith("nothing was changed: try again.")
    assert stored(client)["people"] == 0


def test_a_restart_keeps_everything(app: FastAPI, settings: Settings) -> None:
    app.state.settings = settings
    with TestClient(app, base_url="http://localhost", client=AT_THIS_MACHINE) as client:
        key = an_event(client, a_set(client, a_tune(client)))
        before = client.get(f"/api/events/{key}").json()
    with TestClient(app, base_url="http://localhost", client=AT_THIS_MACHINE) as client:
        assert client.get(f"/api/events/{key}").json() == before
        assert stored(client) == {"tunes": 1, "sets": 1, "people": 0, "events": 1}


def test_a_database_that_cannot_be_opened_fails_at_once(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises((NotADirectoryError, FileExistsError)):
        opened_database.open_database(f"sqlite:///{tmp_path}/file/x.sqlite3")


def test_the_tables_can_be_made_on_postgresql_too() -> None:
    dialect = postgresql.dialect()
    for table in EventRow.metadata.sorted_tables:
        made = str(CreateTable(table).compile(dialect=dialect))
        assert made.strip().startswith("CREATE TABLE")
        for index in table.indexes:
            assert "CREATE" in str(CreateIndex(index).compile(dialect=dialect))


def test_every_row_but_the_band_belongs_to_a_band() -> None:
    for table in EventRow.metadata.sorted_tables:
        if table.name != "band":
            assert not table.c.band_id.nullable
            assert {key.column.table.name for key in table.c.band_id.foreign_keys} == {"band"}
