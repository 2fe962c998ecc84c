"""What does the page of a changing day say? What can be done at once, and what was changed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from api.display.words import made_words
from planner.event.timetable import Slot


@dataclass(frozen=True, slots=True)
class ChangeView:
    """One change: which version it made and when, and its sentences."""

    head: str
    said: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DayView:
    """The page: items and people as (value, words), the changes newest first."""

    address: str
    name: str
    version: str
    items: tuple[tuple[str, str], ...]
    people: tuple[tuple[str, str], ...]
    changes: tuple[ChangeView, ...]


def day_view(
    address: str,
    name: str,
    version: int,
    slots: Iterable[Slot],
    people: Sequence[tuple[str, str]],
    changes: Iterable[ChangeView],
) -> DayView:
    """The page of a changing day; ``people`` are (key, name) of the line-up."""
    items = tuple(
        (str(place), f"{slot.start:%H:%M} {slot.name}" if slot.start else slot.name)
        for place, slot in enumerate(slots, start=1)
    )
    return DayView(address, name, str(version), items, tuple(people), tuple(changes))


def change_view(version: int, said: tuple[str, ...], changed_at: datetime) -> ChangeView:
    """One change in words."""
    head = f"Version {version}, {made_words(changed_at)}"
    return ChangeView(head, said or ("Nothing that moves a time or a player.",))
