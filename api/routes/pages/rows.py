"""How does a list inside a form grow, shrink and change its order, without a script?

The fields of row 2 of ``entries`` are named ``entries.2.tempo_bpm`` and so on, rows from 0. A
button named ``do`` says what to do: ``up 2``, ``down 2``, ``move 2 0``, ``remove 2``, or ``add``;
any other word leaves the rows as they are. What was typed moves along. A form with several lists
has a button of another name for each.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from api.routes.pages.typed import Typed

Row = Mapping[str, tuple[str, ...]]
DO = "do"


def arranged(typed: Typed, prefix: str, new_row: Row, button: str = DO) -> Typed:
    """The form after its button was pressed, its rows numbered from 0 without gaps."""
    rows = rows_of(typed, prefix)
    word, *places = typed.text(button).split(" ")
    if word == "add" and any(new_row.values()):
        rows.append(new_row)
    elif places and all(_is_place(place, rows) for place in places):
        _move(rows, word, *map(int, places[:2]))
    kept = {name: value for name, value in typed.values.items() if not _is_of(name, prefix)}
    return typed.with_values({**kept, **named(prefix, rows)})


def rows_of(typed: Typed, prefix: str) -> list[Row]:
    """The rows of a list in the order of their numbers."""
    found: dict[int, dict[str, tuple[str, ...]]] = {}
    for name, value in typed.values.items():
        if _is_of(name, prefix):
            number, field = name.removeprefix(f"{prefix}.").split(".", 1)
            found.setdefault(int(number), {})[field] = value
    return [found[number] for number in sorted(found)]


def named(prefix: str, rows: Sequence[Row]) -> dict[str, tuple[str, ...]]:
    """The fields of rows by their full names."""
    return {
        f"{prefix}.{number}.{field}": value
        for number, row in enumerate(rows)
        for field, value in row.items()
    }


def filled_rows(typed: Typed, prefix: str) -> list[dict[str, Any]]:
    """Each row as the fields that were not left empty."""
    return [
        {field: value[0].strip() for field, value in row.items() if value and value[0].strip()}
        for row in rows_of(typed, prefix)
    ]


def is_arranging(typed: Typed, *buttons: str) -> bool:
    """True when a button of a list was pressed, not the one that saves."""
    words = {typed.text(button).partition(" ")[0] for button in buttons or (DO,)}
    return bool(words & {"up", "down", "move", "remove", "add"})


def moved_to(typed: Typed, button: str = DO) -> int | None:
    """Where does the row stand that the button moved? None when it moved none."""
    word, *places = typed.text(button).split(" ")
    if not places or not all(place.isascii() and place.isdigit() for place in places):
        return None
    place = int(places[0])
    to = {"up": place - 1, "down": place + 1, "move": int(places[-1])}.get(word)
    return None if to is None or to < 0 else to


def _move(rows: list[Row], word: str, place: int, to: int = -1) -> None:
    if word == "remove":
        rows.pop(place)
    goal = {"up": place - 1, "down": place + 1, "move": to}.get(word, -1)
    if 0 <= goal < len(rows):
        rows.insert(goal, rows.pop(place))


def _is_place(place: str, rows: Sequence[Row]) -> bool:
    return place.isascii() and place.isdigit() and len(place) < 5 and int(place) < len(rows)


def _is_of(name: str, prefix: str) -> bool:
    return re.fullmatch(rf"{re.escape(prefix)}\.[0-9]{{1,4}}\.[a-z_]+", name) is not None
