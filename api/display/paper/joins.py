"""How does one tune go over into the next? Its last two bars beside the first two that follow."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

from api.display.own_bars import own_bar_facts
from api.display.paper.phrased_music import PictureView
from api.display.paper.set_card import join_of
from api.display.planned import PlannedEntry, PlannedEvent, PlannedSet, setting_words
from api.display.words import metre_words, sentence_start, tempo_words, version_words
from planner.music.tune import Tune

Draw = Callable[[Tune, int], PictureView | None]
"""Draws the excerpt of a tune at a part, 0 for its own end or beginning; None without notes."""

DrawLink = Callable[[PlannedEntry], PictureView | None]
"""Draws the bars that link a tune to the next one; None where there are none."""


def no_link(each: PlannedEntry) -> None:
    """Draws nothing."""


@dataclass(frozen=True, slots=True)
class JoinView:
    """One join: from which tune to which, what changes, and both excerpts."""

    before: str
    before_facts: str
    after: str
    after_facts: str
    words: str
    ending: PictureView | None
    beginning: PictureView | None
    link: PictureView | None = None


@dataclass(frozen=True, slots=True)
class JoinSetView:
    """The joins of a set."""

    name: str
    joins: tuple[JoinView, ...]


@dataclass(frozen=True, slots=True)
class JoinsView:
    """The joins of an event; ``nothing`` says so where there are none."""

    event: str
    occasion: str
    sets: tuple[JoinSetView, ...]
    version: str
    nothing: str = ""


def joins_view(
    planned: PlannedEvent, ending: Draw, beginning: Draw, link: DrawLink = no_link
) -> JoinsView:
    """The joins of every set of an event with at least two tunes."""
    event = planned.event
    sets = tuple(
        JoinSetView(
            f"Set {played.set.number}: {played.set.name}", _joins(played, ending, beginning, link)
        )
        for played in planned.sets
        if len(played.entries) > 1
    )
    return JoinsView(
        event=event.name,
        occasion=sentence_start(setting_words(event.setting)),
        sets=sets,
        version=version_words(event.version, planned.made_at),
        nothing="" if sets else "No set of this event has two tunes to join.",
    )


def _joins(
    played: PlannedSet, ending: Draw, beginning: Draw, link: DrawLink
) -> tuple[JoinView, ...]:
    return tuple(
        JoinView(
            before=before.tune.title,
            before_facts=_facts(before),
            after=after.tune.title,
            after_facts=_facts(after),
            words=_words(before, after),
            link=link(before),
            ending=ending(before.tune, before.entry.parts[-1] if before.entry.parts else 0),
            beginning=beginning(after.tune, after.entry.parts[0] if after.entry.parts else 0),
        )
        for before, after in pairwise(played.entries)
    )


def _words(before: PlannedEntry, after: PlannedEntry) -> str:
    return ", ".join(filter(None, (join_of(before, after), *own_bar_facts(before))))


def _facts(each: PlannedEntry) -> str:
    tempo = tempo_words(each.plan.analysis.tempo.bpm)
    return f"{each.plan.analysis.idiom} · {metre_words(each.tune.metre)} · {tempo}"
