"""How does a table of rows come in and go out? As CSV (RFC 4180).

A table comes in whole or not at all: every row that cannot be taken is reported with its number,
and nothing is stored while there is one. The first row names the columns, in any order.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TypeVar

from api.actions.faults import RefusedRow, RefusedRowsError
from planner.errors import RequestError

MOST_ROWS, LONGEST = 2_000, 300

Row = Mapping[str, str]
Noun = TypeVar("Noun")


def write_csv(columns: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """A list with its columns named, lines ending in CR LF."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(columns)
    writer.writerows(rows)
    return out.getvalue()


def read_csv(content: bytes, columns: Sequence[str], needed: Sequence[str]) -> list[Row]:
    """The rows of a list by column.

    Raises:
        RequestError: not text, too long, or its columns are not those of the list.
    """
    try:
        lines = list(csv.reader(io.StringIO(content.decode("utf-8-sig"), newline=""), strict=True))
    except (UnicodeDecodeError, csv.Error) as error:
        raise RequestError("file", "it is no CSV text in UTF-8", "save it as CSV again") from error
    head = [name.strip().lower() for name in lines[0]] if lines else []
    _check_head(head, columns, needed)
    rows = [line for line in lines[1:] if any(cell.strip() for cell in line)]
    if len(rows) > MOST_ROWS:
        raise RequestError("file", f"it has {len(rows)} rows", f"give at most {MOST_ROWS} at once")
    return [_row(head, line) for line in rows]


def _check_head(head: Sequence[str], columns: Sequence[str], needed: Sequence[str]) -> None:
    wanted = f"use {', '.join(columns)}"
    missing = [name for name in needed if name not in head]
    if missing:
        raise RequestError("file", f"there is no column “{missing[0]}”", wanted)
    unknown = [name for name in head if name not in columns]
    if unknown:
        raise RequestError("file", f"nobody knows a column “{unknown[0][:40]}”", wanted)
    if len(set(head)) != len(head):
        raise RequestError("file", "a column stands there twice", wanted)


def _row(head: Sequence[str], line: Sequence[str]) -> Row:
    # One cell too many or too few is a slip of a comma: the row is refused, not guessed at.
    if len(line) != len(head):
        return {"": f"it has {len(line)} cells where {len(head)} columns are named"}
    return {name: cell.strip() for name, cell in zip(head, line, strict=True)}


def each_row(
    rows: Sequence[Row], read: Callable[[Row], Noun], name: str, taken: set[str]
) -> list[Noun]:
    """Every row as its noun; ``taken`` are the values of column ``name`` that are there already.

    Raises:
        RefusedRowsError: at least one row cannot be taken.
    """
    nouns, refused = [], []
    for number, row in enumerate(rows, start=2):  # the row of names is row 1
        try:
            _check_cells(row)
            key = row.get(name, "").casefold()
            if not key:
                raise RequestError(name, "it is empty", f"give a {name}")
            if key in taken:
                raise RequestError(name, f"“{row[name]}” is there already", "take one out")
            taken.add(key)
            nouns.append(read(row))
        except RequestError as error:
            refused.append(RefusedRow(number, str(error)))
    if refused:
        raise RefusedRowsError(tuple(refused), len(rows))
    return nouns


def _check_cells(row: Row) -> None:
    if "" in row:
        raise RequestError("row", row[""], "mend its commas and quotes")
    for name, cell in row.items():
        if len(cell) > LONGEST or any(ord(letter) < 32 for letter in cell):
            raise RequestError(name, "it is too long or has signs that cannot be kept", "mend it")
