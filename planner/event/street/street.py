"""What does the street make of the running order: where does each set start, and past what?

The walk follows the timetable: every felt beat is a pace, the rolls are marched too since the band
steps off on their first beat, and rest is marched at the band's own rate. Metres are from
step-off, seconds too. What is played until the cue is counted once through, so what comes after it
has metres but no time by the clock.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import time
from fractions import Fraction
from math import ceil

from planner.event.amounts import not_negative, positive
from planner.event.event import Event, Set
from planner.event.stops import stops_of_set
from planner.event.street.parade import RoutePlan, SoundDelay, cover_route, seconds_of, sound_delay
from planner.event.street.places import PassedPlace, Playing, Span, pass_places
from planner.event.street.walk import RATE, Leg, Pacing, Walk, legs_of, walk_route
from planner.event.timetable import EventTimetable, Kind, Slot, later
from planner.music.tune import Tune
from planner.rules.rulebook import RuleBook

HALF_A_DAY_S, DAY_S = 12 * 3600, 24 * 3600


@dataclass(frozen=True, slots=True)
class StreetItem:
    """Where an item of the running order starts on the route, in metres, and how far it carries.

    ``from_s`` are seconds from step-off, ``start`` the time by the clock where known.
    ``is_past_the_end`` when it starts where the route is over already. ``times_to_fill`` is how
    often the item alone would have to be played to fill the route, None where it carries nobody.
    """

    name: str
    from_m: float
    metres: float
    seconds: float
    is_past_the_end: bool
    times_to_fill: int | None = None
    from_s: float = 0.0
    start: time | None = None
    is_set: bool = False
    is_open_ended: bool = False


@dataclass(frozen=True, slots=True)
class StreetStretch:
    """A stretch of the route where it lies, and the seconds it takes at the band's own rate.

    ``pace_m`` is one pace on its slope. The front rank comes to its end ``end_s`` after step-off,
    by the clock at ``end``, and halts there for ``halt_s``.
    """

    name: str
    slope: str
    from_m: float
    to_m: float
    pace_m: float
    seconds: float
    end_s: float
    end: time | None = None
    halt_s: float = 0.0
    halt_is_silent: bool = False


@dataclass(frozen=True, slots=True)
class StreetSums:
    """The route against the running order; ``delay`` where the length of the column is known."""

    cover: RoutePlan
    items: tuple[StreetItem, ...]
    delay: SoundDelay | None = None
    stretches: tuple[StreetStretch, ...] = ()
    places: tuple[PassedPlace, ...] = ()


def street_sums(
    event: Event,
    timetable: EventTimetable,
    sets: Mapping[str, Set],
    tunes: Mapping[str, Tune],
    rulebook: RuleBook,
) -> StreetSums | None:
    """The route against the running order, None where nobody marches.

    Raises:
        RequestError: a length, pace or rate that cannot be reckoned with.
    """
    route = event.route
    if route is None:
        return None
    legs = legs_of(route, rulebook)
    rate = positive("rate", route.steps_per_minute, RATE)
    timed = tuple(_timed(event.clock.step_off, timetable))
    walk = walk_route(route, _pacings(timed, rate), rulebook)
    day = _Day(event, timetable, sets, tunes)
    column = route.column_m
    return StreetSums(
        cover=cover_route(route, timetable, rulebook),
        items=tuple(_item(each, walk, legs, rate) for each in timed),
        delay=None if column is None else sound_delay(column, route.steps_per_minute, rulebook),
        stretches=tuple(_stretch(leg, rate, walk, day.clock(timed)) for leg in legs),
        places=pass_places(
            route, walk, tuple(_playing(each, day) for each in timed), day.clock(timed)
        ),
    )


@dataclass(frozen=True, slots=True)
class _Timed:
    """A slot with its seconds from step-off; ``rest`` is what went before it without music."""

    slot: Slot
    rest: Fraction
    from_s: Fraction


@dataclass(frozen=True, slots=True)
class _Day:
    event: Event
    timetable: EventTimetable
    sets: Mapping[str, Set]
    tunes: Mapping[str, Tune]

    def clock(self, timed: tuple[_Timed, ...]) -> Callable[[Fraction], time | None]:
        """The time so many seconds after step-off, None once something lasts until the cue."""
        step_off = self.event.clock.step_off or self.timetable.start
        open_from = min((t.from_s for t in timed if t.slot.is_open_ended), default=None)

        def at(seconds: Fraction) -> time | None:
            is_known = open_from is None or seconds <= open_from
            return later(step_off, seconds) if is_known else None

        return at


def _timed(step_off: time | None, timetable: EventTimetable) -> Iterator[_Timed]:
    at = gap = Fraction(0)
    expected = step_off
    for slot in timetable.slots:
        rest = gap + _wait(later(expected, gap), slot.start)
        yield _Timed(slot, rest, at + rest)
        at += rest + slot.length
        gap = not_negative("gap after", slot.item.gap_after_s, "the seconds between two items")
        expected = slot.end


def _wait(expected: time | None, start: time | None) -> Fraction:
    """Seconds until a fixed start; none where the time is not known, or is over already."""
    if expected is None or start is None:
        return Fraction(0)
    wait = (_second_of_day(start) - _second_of_day(expected)) % DAY_S
    return wait if wait < HALF_A_DAY_S else Fraction(0)


def _second_of_day(at: time) -> Fraction:
    whole = at.hour * 3600 + at.minute * 60 + at.second
    return whole + Fraction(at.microsecond, 1_000_000)


def _pacings(timed: tuple[_Timed, ...], rate: Fraction) -> Iterator[Pacing]:
    for each in timed:
        yield Pacing(each.rest, rate)
        if each.slot.timetable is None:
            yield Pacing(each.slot.length, rate)
            continue
        for stretch in each.slot.timetable.stretches:
            yield Pacing(stretch.length() - stretch.silence, stretch.bpm)
            yield Pacing(stretch.silence, rate)


def _item(each: _Timed, walk: Walk, legs: tuple[Leg, ...], rate: Fraction) -> StreetItem:
    slot, end_m = each.slot, legs[-1].to_m
    from_m = walk.metres_at(each.from_s)
    return StreetItem(
        name=slot.name,
        from_m=float(from_m),
        metres=float(walk.metres_at(each.from_s + slot.length) - from_m),
        seconds=slot.seconds,
        is_past_the_end=from_m >= end_m,
        times_to_fill=_times_to_fill(slot, legs, rate),
        from_s=float(each.from_s),
        start=slot.start,
        is_set=slot.timetable is not None,
        is_open_ended=slot.is_open_ended,
    )


def _times_to_fill(slot: Slot, legs: tuple[Leg, ...], rate: Fraction) -> int | None:
    """How often it has to be played, at its own average rate, until the route is over."""
    if not slot.length:
        return None
    paces = _paces_of(slot, rate)
    if not paces:
        return None
    route_s = seconds_of(legs, paces * 60 / slot.length) + sum(leg.halt_s for leg in legs)
    return ceil(route_s / slot.length)


def _paces_of(slot: Slot, rate: Fraction) -> Fraction:
    if slot.timetable is None:
        return slot.length * rate / 60
    stretches = slot.timetable.stretches
    return sum((each.beats + each.silence * rate / 60 for each in stretches), Fraction(0))


def _stretch(
    leg: Leg, rate: Fraction, walk: Walk, clock: Callable[[Fraction], time | None]
) -> StreetStretch:
    told, end = leg.stretch, walk.reaches(leg.to_m)
    return StreetStretch(
        name=told.name,
        slope=told.slope.value,
        from_m=float(leg.from_m),
        to_m=float(leg.to_m),
        pace_m=float(leg.pace_m),
        seconds=float(seconds_of((leg,), rate)),
        end_s=float(end),
        end=clock(end),
        halt_s=float(leg.halt_s),
        halt_is_silent=told.halt_is_silent,
    )


def _playing(each: _Timed, day: _Day) -> Playing:
    """When an item is heard, and when its tunes are."""
    slot, timetable = each.slot, each.slot.timetable
    if timetable is None:
        whole = (each.from_s, each.from_s + slot.length)
        return Playing(slot.name, each.from_s, each.rest, (whole,) if slot.length else ())
    at = each.from_s
    spans: list[tuple[Kind, Span]] = []
    for stretch in timetable.stretches:
        sounding = stretch.length() - stretch.silence
        if sounding:
            spans.append((stretch.kind, (at, at + sounding)))
        at += stretch.length()
    return Playing(
        slot.name,
        each.from_s,
        each.rest,
        sounds=tuple(span for _, span in spans),
        tunes=tuple(span for kind, span in spans if kind is Kind.TUNE),
        stops=stops_of_set(timetable, day.sets[timetable.key], day.tunes),
    )
