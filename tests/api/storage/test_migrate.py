"""The database gets the shape this version needs."""

import subprocess
import sys
from pathlib import Path

import pytest
from alembic import command
from alembic.config import Config
from alembic.script import ScriptDirectory
from sqlalchemy import inspect, text

from api.settings import Settings
from api.storage.database import Database, open_database
from api.storage.event_tables import EventRow
from api.storage.migrate import (
    MIGRATIONS,
    DatabaseTooNewError,
    check_migrations,
    migrate_database,
    newest_revision,
    present_revision,
)


@pytest.fixture
def new_database(tmp_path: Path) -> Database:
    return open_database(f"sqlite:///{tmp_path / 'new' / 'library.sqlite3'}")


def test_an_empty_place_becomes_a_whole_database(new_database: Database) -> None:
    assert present_revision(new_database) is None
    migrate_database(new_database)
    assert present_revision(new_database) == newest_revision()
    tables = set(inspect(new_database.engine).get_table_names())
    assert tables == {"alembic_version", *EventRow.metadata.tables}
    new_database.close()


def test_migrations_leave_references_checked(new_database: Database) -> None:
    migrate_database(new_database)
    with new_database.engine.connect() as connection:
        assert connection.execute(text("PRAGMA foreign_keys")).scalar() == 1
    new_database.close()


def test_the_tables_and_the_migrations_agree() -> None:
    check_migrations()


def test_the_last_file_name_is_the_newest_revision() -> None:
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    assert ScriptDirectory.from_config(config).get_heads() == [newest_revision()]


def test_a_newer_database_is_left_alone_with_one_sentence(database: Database) -> None:
    with database.writing() as session:
        session.execute(text("UPDATE alembic_version SET version_num = '9999'"))
        session.commit()
    with pytest.raises(DatabaseTooNewError, match="start the newer version"):
        migrate_database(database)


def test_the_module_upgrades_and_checks_by_hand(tmp_path: Path) -> None:
    for what in ("upgrade", "check"):
        done = subprocess.run(
            [sys.executable, "-m", "api.storage.migrate", what],
            env={"PACESTICK_DATA_DIR": str(tmp_path), "PATH": ""},
            capture_output=True,
            text=True,
            check=False,
        )
        assert (done.returncode, done.stdout) == (0, "")
    database = open_database(Settings(data_dir=tmp_path).address_of_database)
    assert present_revision(database) == newest_revision()
    database.close()


def test_the_first_migration_can_be_taken_back(new_database: Database) -> None:
    migrate_database(new_database)
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    with new_database.engine.connect() as connection:
        config.attributes["connection"] = connection
        command.downgrade(config, "base")
    assert inspect(new_database.engine).get_table_names() == ["alembic_version"]
    new_database.close()
