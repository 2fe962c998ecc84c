"""Where does another reader hear something else than ours, and in which bars?"""

from __future__ import annotations

from dataclasses import dataclass
from difflib import SequenceMatcher

from scripts.other_readers import Event
from scripts.our_reading import OurReading


@dataclass(frozen=True, slots=True)
class Difference:
    """A run of events that differ: our bars they stand in, what we hear and what is heard there."""

    bars: tuple[int, ...]
    ours: tuple[Event, ...]
    theirs: tuple[Event, ...]


Run = tuple[int, int, int, int]
"""Where a difference begins and ends in ours, and in theirs."""


def differences(reading: OurReading, theirs: list[Event]) -> list[Difference]:
    """The differences between our reading and another, gracenotes left out."""
    placed = [
        (number, event)
        for number, bar in enumerate(reading.bars)
        for event in bar.events
        if event[0] != "grace"
    ]
    ours = [event for _, event in placed]
    others = [event for event in theirs if event[0] != "grace"]
    if ours == others:
        return []
    runs = _place_by_place(ours, others) or _aligned(ours, others)
    return [
        Difference(_bars(placed, first, last), tuple(ours[first:last]), tuple(others[start:end]))
        for first, last, start, end in runs
    ]


def _place_by_place(ours: list[Event], others: list[Event]) -> list[Run]:
    """The places that differ where both hear the same kinds of event; none where they do not."""
    if [kind for kind, _ in ours] != [kind for kind, _ in others]:
        return []
    places = [n for n, (one, other) in enumerate(zip(ours, others, strict=True)) if one != other]
    return [(place, place + 1, place, place + 1) for place in places]


def _aligned(ours: list[Event], others: list[Event]) -> list[Run]:
    matcher = SequenceMatcher(None, ours, others, autojunk=False)
    return [tuple(run) for kind, *run in matcher.get_opcodes() if kind != "equal"]  # type: ignore[misc]


def _bars(placed: list[tuple[int, Event]], first: int, last: int) -> tuple[int, ...]:
    if first == last:  # something is heard between two of our signs: it may belong to either
        first, last = max(first - 1, 0), min(last + 1, len(placed))
    return tuple(sorted({number for number, _ in placed[first:last]}))
