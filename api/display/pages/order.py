"""What does the page say on which a running order is put together? Times, metres, joins, gaps."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from api.display.form import FormView
from api.display.planned_tune import FindingView
from api.display.words import clock_words, join_in_words, join_words, length_words, sentence
from planner.event.event import Event, Set
from planner.event.joins import Join
from planner.event.street.street import StreetItem
from planner.event.timetable import EventTimetable, Slot


@dataclass(frozen=True, slots=True)
class OrderRowView:
    """One item: what it is, when it begins, how long it lasts, how far it carries the band."""

    prefix: str
    place: int
    key: str
    name: str
    address: str = ""
    tunes: str = ""
    start: str = ""
    length: str = ""
    metres: str = ""
    gap: str = ""
    join: str = ""


@dataclass(frozen=True, slots=True)
class OrderView:
    """The head of the page: the sum of it all, what is saved, and what is not right."""

    address: str
    name: str
    occasion: str
    sums: str
    length: str
    problem: str
    findings: tuple[FindingView, ...]
    undo: str
    state: str


@dataclass(frozen=True, slots=True)
class Reckoned:
    """What the rows are told from; empty where the running order cannot be reckoned."""

    timetable: EventTimetable | None
    joins: Sequence[Join | None]
    street: Sequence[StreetItem]


def order_sums(event: Event, timetable: EventTimetable | None) -> str:
    """By the clock: ``From 14:00 to 14:21. The event ends at 14:30: 9 min to spare.``."""
    if timetable is None or not timetable.slots:
        return ""
    if timetable.start is None:
        return "No step-off is set, so nothing has a time by the clock."
    over = f" to {clock_words(timetable.end)}" if timetable.end else ", then until the cue"
    said = [f"From {clock_words(timetable.start)}{over}."]
    end = event.clock.end
    if timetable.end is not None and end is not None:
        spare = _seconds_between(timetable, event)
        word = "to spare" if spare >= 0 else "too long"
        said.append(f"The event ends at {clock_words(end)}: {length_words(abs(spare))} {word}.")
    return " ".join(said)


def _seconds_between(timetable: EventTimetable, event: Event) -> float:
    """Seconds from the end of the running order to the end of the event, also past midnight."""
    last, end = timetable.end, event.clock.end
    if last is None or end is None:
        return 0.0
    day = date(2000, 1, 1)
    apart = (datetime.combine(day, end) - datetime.combine(day, last)).total_seconds()
    half_a_day = 12 * 3600
    return (apart + half_a_day) % (2 * half_a_day) - half_a_day


def order_length(timetable: EventTimetable | None) -> str:
    """``21 min 4 s``; empty where it cannot be reckoned."""
    if timetable is None or not timetable.slots:
        return ""
    more = ", then until the cue" if timetable.is_open_ended else ""
    return f"{length_words(timetable.seconds)}{more}"


def order_rows(
    form: FormView, sets: Mapping[str, Set], titles: Mapping[str, str], told: Reckoned
) -> tuple[OrderRowView, ...]:
    """The rows of the form, as many as it has; times only where they are those of the rows."""
    rows = sorted({int(name.split(".")[1]) for name in form.values if name.startswith("items.")})
    return tuple(_row(form, row, sets, titles, told) for row in rows)


def _row(
    form: FormView, row: int, sets: Mapping[str, Set], titles: Mapping[str, str], told: Reckoned
) -> OrderRowView:
    prefix = f"items.{row}"
    key = form.value(f"{prefix}.set_key")
    slot = told.timetable.slots[row] if told.timetable and row < len(told.timetable.slots) else None
    street = told.street[row] if row < len(told.street) else None
    join = told.joins[row] if row < len(told.joins) else None
    a_set = sets.get(key)
    return OrderRowView(
        prefix=prefix,
        place=row,
        key=key or form.value(f"{prefix}.text"),
        name=_name(a_set, key, form.value(f"{prefix}.text")),
        address=f"/sets/{key}" if key else "",
        tunes=join_words([titles.get(each.tune_key, "") for each in a_set.entries])
        if a_set
        else "",
        start=clock_words(slot.start) if slot else "",
        length=_length(slot) if slot else "",
        metres=_metres(street) if street else "",
        gap=_gap(slot) if slot else "",
        join=join_in_words(join) if join else "",
    )


def _name(a_set: Set | None, key: str, text: str) -> str:
    if a_set is not None:
        return f"{a_set.number} {a_set.name}"
    return "A set that is gone" if key else text or "Words without a set"


def _length(slot: Slot) -> str:
    return length_words(slot.seconds) + (", then until the cue" if slot.is_open_ended else "")


def _metres(item: StreetItem) -> str:
    if item.is_past_the_end:
        return "past the end of the route"
    return f"at {round(item.from_m)} m, for {round(item.metres)} m"


def _gap(slot: Slot) -> str:
    return (
        sentence(f"then {length_words(slot.item.gap_after_s)} of rest")
        if slot.item.gap_after_s
        else ""
    )
