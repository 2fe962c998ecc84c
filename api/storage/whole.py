"""How does everything in the library become plain values, and plain values everything again?

Each table is a list of rows by column; days, times and moments are ISO 8601 text. Files are apart,
by the hash of their content. Reading is one moment, writing one transaction.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, datetime, time
from typing import Any

from sqlalchemy import (
    Column,
    Date,
    DateTime,
    LargeBinary,
    Table,
    Time,
    TypeDecorator,
    delete,
    func,
    insert,
    select,
)
from sqlalchemy.exc import SQLAlchemyError
from sqlmodel import Session

from api.storage.event_tables import EventRow
from api.storage.migrate import newest_revision
from planner.errors import RequestError

Rows = dict[str, list[dict[str, Any]]]
MOMENTS = (datetime, date, time)
MOMENT_KINDS: tuple[tuple[type[Any], type[date] | type[time]], ...] = (
    (DateTime, datetime),
    (Date, date),
    (Time, time),
)
HASH = "sha256"


def all_rows(session: Session) -> tuple[Rows, dict[str, bytes]]:
    """Every row of every table, and every file by its hash."""
    files: dict[str, bytes] = {}
    rows: Rows = {}
    for table in _tables():
        found = session.execute(select(table).order_by(*table.primary_key.columns)).mappings()
        rows[table.name] = [_plain(table, dict(row), files) for row in found]
    return rows, files


def put_all_rows(session: Session, rows: Rows, files: Mapping[str, bytes]) -> int:
    """Put these rows in place of everything there is; how many.

    Raises:
        RequestError: a table, column, value or file that does not fit; nothing is changed.
    """
    _check_names(rows)
    for table in reversed(_tables()):
        session.execute(delete(table))
    count = 0
    for table in _tables():
        values = [_stored(table, row, files) for row in rows[table.name]]
        count += len(values)
        if values:
            _insert(session, table, values)
    return count


def holds_anything(session: Session) -> bool:
    """True when the library has any row beside its band."""
    counted = (
        session.execute(select(func.count()).select_from(table)).scalar_one()
        for table in _tables()
        if table.name != "band"
    )
    return any(counted)


def present_shape() -> str:
    """The revision that the rows have."""
    return newest_revision()


def _tables() -> list[Table]:
    return list(EventRow.metadata.sorted_tables)


def _plain(table: Table, row: Mapping[str, Any], files: dict[str, bytes]) -> dict[str, Any]:
    plain = {}
    for column in table.columns:
        value = row[column.name]
        if isinstance(column.type, LargeBinary):
            files[row[HASH]] = value
        else:
            plain[column.name] = value.isoformat() if isinstance(value, MOMENTS) else value
    return plain


def _check_names(rows: Rows) -> None:
    known = {table.name: {c.name for c in _kept_columns(table)} for table in _tables()}
    if set(rows) != set(known):
        odd = sorted(set(rows) ^ set(known))[0]
        raise RequestError("file", f"its tables are not ours ({odd})", "name a file made by export")
    for name, listed in rows.items():
        for row in listed:
            if set(row) != known[name]:
                raise RequestError(
                    "file", f"a row of {name} has other columns", "name a file made by export"
                )


def _kept_columns(table: Table) -> Iterator[Column[Any]]:
    return (column for column in table.columns if not isinstance(column.type, LargeBinary))


def _stored(table: Table, row: Mapping[str, Any], files: Mapping[str, bytes]) -> dict[str, Any]:
    stored = {}
    for column in table.columns:
        if isinstance(column.type, LargeBinary):
            if row[HASH] not in files:
                problem = f"the content of {row.get('file_name')} is missing"
                raise RequestError("file", problem, "export the library again")
            stored[column.name] = files[row[HASH]]
        else:
            stored[column.name] = _value(column, row[column.name])
    return stored


def _value(column: Column[Any], value: Any) -> Any:
    kind = _moment_kind(column)
    if value is None or kind is None:
        return value
    try:
        return kind.fromisoformat(value)
    except (TypeError, ValueError) as error:
        problem = f"{column.name} has the value {value!r}"
        raise RequestError("file", problem, "name a file made by export") from error


def _moment_kind(column: Column[Any]) -> type[date] | type[time] | None:
    kind = column.type
    plain = kind.impl_instance if isinstance(kind, TypeDecorator) else kind
    return next((python for sql, python in MOMENT_KINDS if isinstance(plain, sql)), None)


def _insert(session: Session, table: Table, values: list[dict[str, Any]]) -> None:
    try:
        session.execute(insert(table), values)
    except SQLAlchemyError as error:
        raise RequestError(
            "file", f"the rows of {table.name} do not fit together", "export the library again"
        ) from error
