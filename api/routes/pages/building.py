"""What have the pages in common on which things are put in order? Looking, moving, coming back."""

from __future__ import annotations

from api.routes.pages.rows import moved_to
from api.routes.pages.typed import Typed

LONGEST_SEARCH = 120


def is_looking(typed: Typed) -> bool:
    """True when the button of the search was pressed, or one that turns its pages."""
    return typed.text("do").partition(" ")[0] == "look"


def page_wanted(typed: Typed) -> int:
    """Which page (from 1) of what there is to choose from does the button ask for?"""
    page = typed.text("do").partition(" ")[2] if is_looking(typed) else ""
    return int(page) if page.isascii() and page.isdigit() and 0 < len(page) < 6 else 1


def words_looked_for(typed: Typed) -> str:
    """What stands in the search."""
    return typed.text("words")[:LONGEST_SEARCH]


def chosen(typed: Typed) -> str:
    """The key of what the pressed button adds; empty text for any other button."""
    word, _, key = typed.text("do").partition(" ")
    return key if word == "add" else ""


def place_after(typed: Typed) -> str:
    """What the page shows first after the button was done, by its id: the row that was moved."""
    if is_looking(typed):
        return "found"
    place = moved_to(typed)
    return "" if place is None else f"row-{place}"


def keys_typed(typed: Typed, field: str) -> frozenset[str]:
    """The keys in all fields of this name that could be keys at all."""
    said = {typed.text(name) for name in typed.values if name.endswith(f".{field}")}
    return frozenset(key for key in said if key.isascii() and key.isdigit() and len(key) < 10)
