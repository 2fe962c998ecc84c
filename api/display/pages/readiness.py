"""Who has learnt what: what do the grid and the form of one person say?"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from api.display.form import FormView
from api.display.pages.tunes import Found, found_words
from api.display.turn import TurnView, turn_view
from planner.event.event import Instrument, Person

# What stands in the grid for each level: a sign of its own and a word, never a colour.
LEVELS = {
    "": ("", "not said"),
    "not-yet": ("–", "not yet"),
    "chanter": ("c", "chanter"),
    "pipes-standing": ("s", "pipes, standing"),
    "pipes-marching": ("m", "pipes, marching"),
    "has-score": ("✓", "has a score"),
}
OF_PIPERS = ("", "not-yet", "chanter", "pipes-standing", "pipes-marching")
OF_DRUMMERS = ("", "not-yet", "has-score")

Levels = Mapping[tuple[str, str], str]
"""Levels by (person key, tune key)."""


@dataclass(frozen=True, slots=True)
class TunesOfPageView:
    """The tunes of one page as (key, title), how many were found, and the pages beside it."""

    tunes: tuple[tuple[str, str], ...]
    found: str
    is_empty: bool
    turn: TurnView


@dataclass(frozen=True, slots=True)
class GridView:
    """People (address, name) across, tunes (address, title) down, a sign and a word each."""

    people: tuple[tuple[str, str], ...]
    rows: tuple[tuple[str, str, tuple[tuple[str, str], ...]], ...]
    legend: tuple[tuple[str, str], ...]


def tunes_of_page(found: Found, address: str, words: str) -> TunesOfPageView:
    """The tunes that a page of readiness is about; ``words`` were looked for."""
    last = -(-found.count // found.page_size)
    return TunesOfPageView(
        tunes=tuple((tune.key, tune.title) for tune in found.tunes),
        found=found_words(found),
        is_empty=not found.total,
        turn=turn_view(address, {"words": words}, found.page, last),
    )


def grid_view(
    people: Iterable[Person], tunes: Iterable[tuple[str, str]], levels: Levels
) -> GridView:
    """The grid, pipers first; ``tunes`` are (key, title)."""
    across = sorted(people, key=lambda each: list(Instrument).index(each.instrument))
    rows = tuple(
        (
            f"/tunes/{key}",
            title,
            tuple(LEVELS[levels.get((person.key, key), "")] for person in across),
        )
        for key, title in tunes
    )
    named = tuple((f"/people/{person.key}/readiness", person.name) for person in across)
    return GridView(named, rows, tuple(LEVELS[level] for level in LEVELS if level))


def level_choices(person: Person) -> tuple[tuple[str, str], ...]:
    """The levels a person can have: for drummers a score or none."""
    known = OF_DRUMMERS if person.instrument.is_drum else OF_PIPERS
    return tuple((level, LEVELS[level][1]) for level in known)


def readiness_form(levels: Mapping[str, str], action: str, version: int) -> FormView:
    """What stands in the form of one person; ``levels`` by tune key."""
    values = {f"level.{key}": (level,) for key, level in levels.items()}
    return FormView(action, values, version=str(version), newer=action)
