"""What do the pages of who and when say? Counts, outs, gaps; and who has learnt what."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from api.display.form import FormView
from api.display.people import GROUP_WORDS
from api.display.words import join_words
from planner.event.event import Instrument, Person
from planner.event.who import HeadCount, RungAdvice
from planner.findings import Finding

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


@dataclass(frozen=True, slots=True)
class CountLineView:
    """One instrument: who said what, and what is missing."""

    name: str
    figures: tuple[str, ...]
    so: str


@dataclass(frozen=True, slots=True)
class WhoView:
    """Who and when; ``tunes`` are (title, who is out, rung and why)."""

    address: str
    name: str
    closing: str
    counts: tuple[CountLineView, ...]
    findings: tuple[str, ...]
    silent: str
    undecided: str
    learners: str
    tunes: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, slots=True)
class GridView:
    """Who has learnt what: tunes (address, title) across, people down, a sign and word each."""

    tunes: tuple[tuple[str, str], ...]
    rows: tuple[tuple[str, str, tuple[tuple[str, str], ...]], ...]
    legend: tuple[tuple[str, str], ...]


def who_view(
    address: str,
    name: str,
    closing: str,
    counts: Iterable[HeadCount],
    findings: Iterable[Finding],
    people: Mapping[str, Sequence[Person]],
    tunes: Iterable[tuple[str, Sequence[Person], RungAdvice]],
) -> WhoView:
    """The page; ``people`` has the lists ``silent``, ``undecided`` and ``learners``."""
    named = {which: join_words([each.name for each in listed]) for which, listed in people.items()}
    return WhoView(
        address=address,
        name=name,
        closing=closing,
        counts=tuple(_count(each) for each in counts),
        findings=tuple(each.text for each in findings),
        silent=named["silent"],
        undecided=named["undecided"],
        learners=named["learners"],
        tunes=tuple(
            (title, join_words([each.name for each in out]), advice.reason)
            for title, out, advice in tunes
        ),
    )


def _count(count: HeadCount) -> CountLineView:
    said = (count.yes, count.maybe, count.no, count.silent, count.minimum or "none")
    enough = "enough" if count.minimum else ""
    so = f"{count.missing} too few" if count.missing else enough
    return CountLineView(GROUP_WORDS[count.instrument], tuple(map(str, said)), so)


def grid_view(
    people: Iterable[Person],
    tunes: Sequence[tuple[str, str]],
    levels: Mapping[tuple[str, str], str],
) -> GridView:
    """The grid; ``tunes`` are (key, title), ``levels`` by (person key, tune key)."""
    rows = tuple(
        (
            f"/people/{person.key}/readiness",
            person.name,
            tuple(LEVELS[levels.get((person.key, key), "")] for key, _ in tunes),
        )
        for person in sorted(people, key=lambda each: list(Instrument).index(each.instrument))
    )
    linked = tuple((f"/tunes/{key}", title) for key, title in tunes)
    return GridView(linked, rows, tuple(LEVELS[level] for level in LEVELS if level))


def level_choices(person: Person) -> tuple[tuple[str, str], ...]:
    """The levels a person can have: for drummers a score or none."""
    known = OF_DRUMMERS if person.instrument.is_drum else OF_PIPERS
    return tuple((level, LEVELS[level][1]) for level in known)


def readiness_form(levels: Mapping[str, str], action: str, version: int) -> FormView:
    """What stands in the form of one person; ``levels`` by tune key."""
    values = {f"level.{key}": (level,) for key, level in levels.items()}
    return FormView(action, values, version=str(version), newer=action)
