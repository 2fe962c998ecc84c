"""What lies on the desk? The next events, and for each what is not ready and why."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from api.display.pages.not_ready import what_is_not_ready
from api.display.planned import PlannedEvent, setting_words
from api.display.planned_tune import FindingView
from api.display.words import clock_words, day_words, sentence_start
from planner.event.event import Event
from planner.findings import Finding, Gravity

# How many things that are not ready stand open for one event? The rest is folded away.
MOST_OPEN = 4


@dataclass(frozen=True, slots=True)
class NextEventView:
    """One of the next events. ``when`` says the day and how far off it is."""

    address: str
    name: str
    occasion: str
    when: str
    times: str
    not_ready: tuple[FindingView, ...]
    more: tuple[FindingView, ...] = ()
    is_planned: bool = True
    is_ready: bool = False


@dataclass(frozen=True, slots=True)
class DeskView:
    """The desk: the next events, whether more come later, and whether there is anything at all."""

    events: tuple[NextEventView, ...]
    has_more: bool
    is_empty: bool


def desk_view(
    events: Iterable[NextEventView], has_more: bool = False, is_empty: bool = False
) -> DeskView:
    """The desk on a day."""
    return DeskView(tuple(events), has_more, is_empty)


def next_event_view(
    planned: PlannedEvent, findings: Sequence[Finding], today: date
) -> NextEventView:
    """One event on the desk, what keeps it from its sheets first."""
    found = what_is_not_ready(planned, findings)
    head = _head(planned.event, today)
    is_ready = all(each.gravity == Gravity.NOTE for each in found)
    return replace(head, not_ready=found[:MOST_OPEN], more=found[MOST_OPEN:], is_ready=is_ready)


def unplanned_event_view(event: Event, problem: str, today: date) -> NextEventView:
    """An event that cannot be planned, and why not."""
    order = (f"/events/{event.key}/order", "Change the running order")
    why = FindingView(Gravity.REFUSE, sentence_start(problem), "", *order)
    return replace(_head(event, today), not_ready=(why,), is_planned=False)


def _head(event: Event, today: date) -> NextEventView:
    return NextEventView(
        address=f"/events/{event.key}",
        name=event.name,
        occasion=setting_words(event.setting),
        when=when_words(event.day, today),
        times=_times(event),
        not_ready=(),
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
