"""Does the database have the shape this version of the service needs?

At start the revision is read by plain SQL; Alembic is imported only when the database is behind,
since its import costs more than everything else at start. Run ``python -m api.storage.migrate
upgrade`` to bring a database up to date by hand, and ``check`` to see whether the tables and the
migrations agree (it works on a new database in memory and touches nothing).

Revisions are four digits, so that the last file name is the newest.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, inspect, text

from api.settings import Settings
from api.storage.database import Database, open_database
from planner.errors import PacestickError

MIGRATIONS = Path(__file__).parent / "migrations"


class DatabaseTooNewError(PacestickError):
    """The database was written by a newer version of this service."""

    def __init__(self, found: str, known: str) -> None:
        super().__init__(
            f"The database has the shape {found}, this version knows shapes up to {known}: "
            "start the newer version of Pacestick that wrote it."
        )


def migrate_database(database: Database) -> None:
    """Bring a database to the newest revision; one that is up to date costs one question.

    Raises:
        DatabaseTooNewError: the database is newer than this version of the service.
    """
    found, newest = present_revision(database), newest_revision()
    if found == newest:
        return
    if found is not None and found > newest:
        raise DatabaseTooNewError(found, newest)
    with database.engine.connect() as connection:
        _alembic("upgrade", connection, "head")


def present_revision(database: Database) -> str | None:
    """The revision of the database, None for an empty one."""
    with database.engine.connect() as connection:
        if not inspect(connection).has_table("alembic_version"):
            return None
        found = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    return None if found is None else str(found)


def newest_revision() -> str:
    """The revision this version of the service works with."""
    return max(path.name[:4] for path in (MIGRATIONS / "versions").glob("[0-9]*.py"))


def check_migrations() -> None:
    """Compare the tables with the migrations, on a new database in memory.

    Raises:
        alembic.util.CommandError: a table was changed without a migration.
    """
    database = open_database("sqlite://")
    with database.engine.connect() as connection:
        _alembic("upgrade", connection, "head")
        _alembic("check", connection)
    database.close()


def _alembic(command: str, connection: Connection, *arguments: Any) -> None:
    from alembic import command as commands  # noqa: PLC0415 - slow, and needed only when behind
    from alembic.config import Config  # noqa: PLC0415

    config = Config(stdout=sys.stderr)
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    config.attributes["connection"] = connection
    getattr(commands, command)(config, *arguments)


def main(arguments: list[str]) -> int:
    """What ``python -m api.storage.migrate`` does."""
    if arguments == ["check"]:
        check_migrations()
    elif arguments == ["upgrade"]:
        database = open_database(Settings().address_of_database)
        migrate_database(database)
        database.close()
    else:
        sys.stderr.write("Say what to do: python -m api.storage.migrate upgrade, or check.\n")
        return 2
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
