"""What lies on the desk? The next events, and for each what is not ready and why."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from api.display.event import what_is_not_ready
from api.display.planned import PlannedEvent, setting_words
from api.display.planned_tune import FindingView
from api.display.words import clock_words, day_words
from planner.event.event import Event
from planner.findings import Finding


@dataclass(frozen=True, slots=True)
class NextEventView:
    """One of the next events. ``when`` says the day and how far off it is."""

    address: str
    name: str
    occasion: str
    when: str
    times: str
    not_ready: tuple[FindingView, ...]


@dataclass(frozen=True, slots=True)
class DeskView:
    """The desk: the next events, whether more come later, and whether there is anything at all."""

    events: tuple[NextEventView, ...]
    has_more: bool
    is_empty: bool


def desk_view(
    planned: Iterable[tuple[PlannedEvent, Sequence[Finding]]],
    today: date,
    has_more: bool = False,
    is_empty: bool = False,
) -> DeskView:
    """The desk on a day."""
    events = tuple(next_event_view(event, findings, today) for event, findings in planned)
    return DeskView(events, has_more, is_empty)


def next_event_view(
    planned: PlannedEvent, findings: Sequence[Finding], today: date
) -> NextEventView:
    """One event on the desk."""
    event = planned.event
    return NextEventView(
        address=f"/events/{event.key}",
        name=event.name,
        occasion=setting_words(event.setting),
        when=when_words(event.day, today),
        times=_times(event),
        not_ready=what_is_not_ready(planned, findings),
    )


def when_words(day: date | None, today: date) -> str:
    """``Saturday 19 June 2027, in 12 days``; a day within reach is named as one would say it."""
    if day is None:
        return "no day set"
    days = (day - today).days
    if days == 0:
        return f"today, {day_words(day)}"
    if days == 1:
        return f"tomorrow, {day_words(day)}"
    near = f", in {days} days" if 1 < days <= 60 else ""
    return f"{day_words(day)}{near}"


def _times(event: Event) -> str:
    clock = event.clock
    named = (("meet", clock.meet), ("step-off", clock.step_off))
    return ", ".join(f"{name} {clock_words(at)}" for name, at in named if at)
