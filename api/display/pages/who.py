"""What do the pages of who and when say? Counts, outs, gaps; and who has learnt what."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from api.display.people import GROUP_WORDS
from api.display.words import join_words
from planner.event.event import Person
from planner.event.who import HeadCount, RungAdvice
from planner.findings import Finding


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
