"""How does Alembic reach the database? Through the connection it is handed, else the settings."""

from typing import Any, Literal

import sqlalchemy as sa
from alembic import context
from sqlalchemy import Connection, text

from api.settings import Settings
from api.storage.database import open_database
from api.storage.event_tables import EventRow

TARGET = EventRow.metadata


def run() -> None:
    """Run the migrations on the connection of the caller, else on one of our own."""
    connection = context.config.attributes.get("connection")
    if connection is not None:
        _run_on(connection)
        return
    database = open_database(Settings().address_of_database)
    with database.engine.connect() as connection:
        _run_on(connection)
    database.close()


def _run_on(connection: Connection) -> None:
    # SQLite rebuilds a table by copying it; with foreign keys on, dropping the first one would
    # take its children along. The switch does nothing inside a transaction, hence before it.
    is_sqlite = connection.dialect.name == "sqlite"
    if is_sqlite:
        _foreign_keys(connection, "OFF")
    context.configure(
        connection=connection,
        target_metadata=TARGET,
        render_as_batch=True,
        compare_type=True,
        render_item=_plain_types,
    )
    with context.begin_transaction():
        context.run_migrations()
    if connection.in_transaction():
        connection.commit()
    if is_sqlite:
        _foreign_keys(connection, "ON")


def _plain_types(kind: str, item: Any, _context: Any) -> str | Literal[False]:
    """Write SQLModel's types as SQLAlchemy's own, so that a migration never changes its meaning."""
    if kind == "type" and isinstance(item, sa.types.TypeDecorator):
        written = repr(item.impl_instance)
        return f"sa.{written}"
    return False


def _foreign_keys(connection: Connection, state: str) -> None:
    raw = connection.connection.dbapi_connection
    if raw is not None:
        raw.cursor().execute(str(text(f"PRAGMA foreign_keys={state}")))


run()
