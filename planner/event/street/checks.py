"""What would go wrong on the street: the speed, the length, a place that is passed the wrong way?

Each check answers with findings of one sentence; none stops the walk.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from planner.event.amounts import plain
from planner.event.event import Event, Set
from planner.event.route import Route, Wanted
from planner.event.street.parade import RoutePlan, rate_for_speed
from planner.event.street.places import Amiss, PassedPlace
from planner.event.street.street import StreetItem, street_sums
from planner.event.timetable import EventTimetable, Kind, SetTimetable
from planner.findings import Finding
from planner.music.tune import Tune
from planner.rules.rulebook import RuleBook


def check_street(
    event: Event,
    timetable: EventTimetable,
    sets: Mapping[str, Set],
    tunes: Mapping[str, Tune],
    rulebook: RuleBook,
) -> Iterator[Finding]:
    """Everything that the route and the running order say against each other.

    Raises:
        RequestError: a length, pace or rate that cannot be reckoned with.
    """
    route = event.route
    street = street_sums(event, timetable, sets, tunes, rulebook)
    if route is None or street is None:
        return
    timed = {slot.timetable.key: slot.timetable for slot in timetable.slots if slot.timetable}
    yield from check_speed(route, street.cover, rulebook)
    yield from check_step_rates(route, timed.values(), rulebook)
    yield from check_length(route, street.items)
    yield from check_places(street.places)


def check_speed(route: Route, cover: RoutePlan, rulebook: RuleBook) -> Iterator[Finding]:
    """The ground speed asked for agrees with the band's own steps and pace, slopes and all."""
    if route.asked_m_per_minute is None:
        return
    own = cover.metres_per_minute
    needed = rate_for_speed(route.asked_m_per_minute, own / route.steps_per_minute)
    if abs(route.asked_m_per_minute / own - 1) > rulebook.number("drill.street.speed_tolerance"):
        text = (
            f"{plain(round(route.asked_m_per_minute, 1))} m a minute are asked for, which needs "
            f"{round(needed)} paces a minute; {plain(route.steps_per_minute)} make "
            f"{plain(round(own, 1))} m."
        )
        yield Finding("speed_against_tempo", text, "route")


def check_step_rates(
    route: Route, timetables: Iterable[SetTimetable], rulebook: RuleBook
) -> Iterator[Finding]:
    """Each tune goes at the step rate of the route, a pace to a beat: the metres hang on it."""
    tolerance = rulebook.number("drill.street.rate_tolerance")
    for timetable in timetables:
        rates = {float(each.bpm) for each in timetable.stretches if each.kind is Kind.TUNE}
        off = sorted(rate for rate in rates if abs(rate / route.steps_per_minute - 1) > tolerance)
        if off:
            *most, last = map(plain, off)
            played = f"{', '.join(most)} and {last}" if most else last
            text = (
                f"played at {played} where the route is reckoned at "
                f"{plain(route.steps_per_minute)} paces a minute."
            )
            yield Finding("tempo_off_the_step_rate", text, timetable.name)


def check_length(route: Route, items: Iterable[StreetItem]) -> Iterator[Finding]:
    """Each set starts before the route is over, and is not longer than the whole of it."""
    length = plain(route.length_m)
    for item in items:
        if item.is_set and item.is_past_the_end:
            text = f"it starts after {length} m, where the route is over."
            yield Finding("after_the_route", text, item.name)
        elif item.is_set and not item.is_open_ended and item.metres > route.length_m:
            text = f"once through it covers {round(item.metres)} m, the whole route is {length} m."
            yield Finding("route_too_short", text, item.name)


def check_places(places: Iterable[PassedPlace]) -> Iterator[Finding]:
    """Each place is passed as is wanted there; if not, by how much, and what to do."""
    for place in places:
        for amiss in place.amiss:
            text = f"{_what(place, amiss)} ({where_and_when(place)}): {amiss.remedy}."
            yield Finding(f"not_{place.wanted}", text, place.name)


def where_and_when(place: PassedPlace) -> str:
    """``420 to 460 m, 10:36:40 to 10:37:17``; one figure for one metre or moment."""
    metres, end = plain(place.from_m), plain(place.to_m)
    where = f"{metres} m" if metres == end else f"{metres} to {end} m"
    if place.start is None or place.end is None:
        return where
    start, over = f"{place.start:%H:%M:%S}", f"{place.end:%H:%M:%S}"
    return f"{where}, {start}" if start == over else f"{where}, {start} to {over}"


def _what(place: PassedPlace, amiss: Amiss) -> str:
    plays = f"{amiss.item} plays" if place.wanted is Wanted.SILENT else "no tune sounds"
    if not amiss.seconds:
        return f"{plays} there"
    metres = f" and {round(amiss.metres)} m" if round(amiss.metres) else ""
    return f"{plays} for {max(1, round(amiss.seconds))} s{metres} of it"
