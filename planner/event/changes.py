"""What has changed about the day, in words? Two timetables and two line-ups are compared.

The running order is followed item by item: what is gone, what is new, what starts or lasts
otherwise; then the times of the day, then who is missing or has come.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import time
from itertools import groupby

from planner.event.amounts import plain
from planner.event.event import Event, LineUp
from planner.event.route import Route
from planner.event.timetable import EventTimetable, Slot


@dataclass(frozen=True, slots=True)
class Day:
    """An event as it stands: its times, who plays, and the titles by tune key."""

    event: Event
    timetable: EventTimetable | None
    line_up: LineUp
    titles: Mapping[str, str]


def changes_of_day(before: Day, after: Day) -> tuple[str, ...]:
    """One sentence for each change, nothing for what stayed."""
    return (
        *_event_words(before.event, after.event),
        *_clock_words(before.event, after.event),
        *_street_words(before.event.route, after.event.route),
        *_order_words(before.timetable, after.timetable),
        *_people_words(before, after),
    )


def _event_words(before: Event, after: Event) -> Iterator[str]:
    named = (
        ("The day", before.day, after.day),
        ("The place", before.arrangements.place, after.arrangements.place),
        ("The occasion", before.setting.occasion.words, after.setting.occasion.words),
    )
    for name, was, now in named:
        if was != now:
            yield f"{name} is {now or 'not set'}, was {was or 'not set'}."


def _clock_words(before: Event, after: Event) -> Iterator[str]:
    for name, field in (
        ("Meet", "meet"),
        ("Tune-up", "tune_up"),
        ("Step-off", "step_off"),
        ("End", "end"),
    ):
        was, now = getattr(before.clock, field), getattr(after.clock, field)
        if was != now:
            yield f"{name} is {_clock(now)}, was {_clock(was)}."


def _street_words(was: Route | None, now: Route | None) -> Iterator[str]:
    """The route, its halts and its places, as far as people have to know of them."""
    if was is None or now is None:
        if was != now:
            yield "There is no route now." if now is None else f"The route is {_metres(now)}."
        return
    if was.length_m != now.length_m:
        yield f"The route is {_metres(now)}, was {_metres(was)}."
    named = (
        ("The pace", "m", was.pace_m, now.pace_m),
        ("The step rate", "paces a minute", was.steps_per_minute, now.steps_per_minute),
    )
    for name, unit, before, after in named:
        if before != after:
            yield f"{name} is {plain(after)} {unit}, was {plain(before)}."
    if was.stretches != now.stretches:
        yield "The stretches of the route are others."
    yield from _place_words(was, now)


def _place_words(was: Route, now: Route) -> Iterator[str]:
    known = {place.name: place for place in was.places}
    present = {place.name: place for place in now.places}
    for name in known:
        if name not in present:
            yield f"Nothing is asked at {name} any more."
    for name, place in present.items():
        if place != known.get(name):
            end = f" to {plain(place.end_m)}" if place.to_m is not None else ""
            yield f"At {name}, {plain(place.from_m)}{end} m: be {place.wanted}."


def _metres(route: Route) -> str:
    return f"{plain(route.length_m)} m"


def _order_words(before: EventTimetable | None, after: EventTimetable | None) -> Iterator[str]:
    if before is None or after is None:
        return
    known, now = _numbered(before), _numbered(after)
    for key, slot in known.items():
        if key not in now:
            yield f"{slot.name} is dropped."
    for key, slot in now.items():
        if key not in known:
            at = f", at {_clock(slot.start)}" if slot.start else ""
            yield f"{slot.name} is new{at}."
        else:
            yield from _slot_words(known[key], slot)
    stayed = [key for key in now if key in known]
    if stayed != [key for key in known if key in now]:
        yield f"The order is now {', '.join(slot.name for slot in now.values())}."
    if before.length != after.length:
        yield f"The running order lasts {_length(after.seconds)}, was {_length(before.seconds)}."


def _slot_words(was: Slot, now: Slot) -> Iterator[str]:
    if was.start != now.start:
        yield f"{now.name} starts at {_clock(now.start)}, was {_clock(was.start)}."
    if was.length != now.length:
        yield f"{now.name} lasts {_length(now.seconds)}, was {_length(was.seconds)}."


def _numbered(timetable: EventTimetable) -> dict[tuple[str, int], Slot]:
    """The slots by what is played there and for which time, so that a set may come twice."""
    named = sorted(
        enumerate(timetable.slots), key=lambda pair: pair[1].item.set_key or pair[1].name
    )
    keys: dict[int, tuple[str, int]] = {}
    for key, group in groupby(named, key=lambda pair: pair[1].item.set_key or pair[1].name):
        keys |= {place: (key, times) for times, (place, _) in enumerate(group)}
    return {keys[place]: slot for place, slot in enumerate(timetable.slots)}


def _people_words(before: Day, after: Day) -> Iterator[str]:
    was = {person.key: person for person in before.line_up.people}
    now = {person.key: person for person in after.line_up.people}
    for key, person in was.items():
        if key not in now:
            left = after.line_up.count(person.instrument)
            yield f"{person.name} is missing: {left} on {person.instrument.value} now."
            yield from _harmony_words(before, after, key)
    for key, person in now.items():
        if key not in was:
            have = after.line_up.count(person.instrument)
            yield f"{person.name} plays: {have} on {person.instrument.value} now."
    new_outs = sorted(after.line_up.outs - before.line_up.outs)
    for key, tune in new_outs:
        if key in now:
            yield f"{now[key].name} is out of {after.titles.get(tune, 'a tune')}."


def _harmony_words(before: Day, after: Day, key: str) -> Iterator[str]:
    for person, tune in sorted(before.line_up.harmony):
        is_left = any(other == tune for _, other in after.line_up.harmony)
        if person == key and not is_left:
            yield f"Nobody plays harmony in {after.titles.get(tune, 'a tune')} now."


def _clock(at: time | None) -> str:
    return "not known" if at is None else f"{at:%H:%M:%S}".removesuffix(":00")


def _length(seconds: float) -> str:
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes} min {rest} s" if minutes else f"{rest} s"
