"""Is the band sounding where it should be heard, and silent where it should not?

A place is passed from the moment the front rank comes to it until the last rank has left it, or the
route is over; a silent halt is a place too. Sounding means a tune: rolls and drums alone do not
greet a saluting base, but they do break a silence. Every place that is not as wanted says by how
much, in seconds and metres, and what can be done.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import time
from fractions import Fraction
from math import ceil

from planner.event.amounts import plain
from planner.event.route import Route, RoutePlace, Wanted
from planner.event.stops import Stop
from planner.event.street.walk import Walk

Span = tuple[Fraction, Fraction]
"""(from, to) in seconds from step-off."""


@dataclass(frozen=True, slots=True)
class Playing:
    """An item of the running order in time, all in seconds from step-off.

    ``rest`` is how long it was quiet before it, ``sounds`` when it is heard, ``tunes`` when tunes
    are; ``stops`` are counted from its own start.
    """

    name: str
    from_s: Fraction
    rest: Fraction
    sounds: tuple[Span, ...]
    tunes: tuple[Span, ...] = ()
    stops: tuple[Stop, ...] = ()


@dataclass(frozen=True, slots=True)
class Amiss:
    """What is not as wanted at a place: which item, for how long and how far, and the remedy.

    ``item`` is empty where nothing is playing that should be.
    """

    item: str
    seconds: float
    metres: float
    remedy: str


@dataclass(frozen=True, slots=True)
class PassedPlace:
    """A place as it is passed: where it lies, when, and what is amiss.

    ``from_s`` and ``to_s`` are seconds from step-off; ``start`` and ``end`` the same by the clock,
    None where the time is not known. ``is_halt`` for a silent halt.
    """

    name: str
    wanted: Wanted
    from_m: float
    to_m: float
    from_s: float
    to_s: float
    start: time | None
    end: time | None
    amiss: tuple[Amiss, ...] = ()
    is_halt: bool = False


def pass_places(
    route: Route,
    walk: Walk,
    order: tuple[Playing, ...],
    clock: Callable[[Fraction], time | None],
) -> tuple[PassedPlace, ...]:
    """Every place of a route and every silent halt, in the order they are passed."""
    asked = [(place, False) for place in route.places]
    asked += [(halt, True) for halt in silent_halts(route)]
    passed = [_passed(place, is_halt, route, walk, order, clock) for place, is_halt in asked]
    return tuple(sorted(passed, key=lambda each: (each.from_s, each.to_s)))


def silent_halts(route: Route) -> Iterator[RoutePlace]:
    """The halts at which the band is silent, as places at one metre."""
    at = Fraction(0)
    for stretch in route.stretches:
        at += Fraction(str(stretch.length_m))
        if stretch.halt_s and stretch.halt_is_silent:
            where = f" after {stretch.name}" if stretch.name else f" at {plain(at)} m"
            yield RoutePlace(f"the halt{where}", Wanted.SILENT, float(at))


def _passed(
    place: RoutePlace,
    is_halt: bool,
    route: Route,
    walk: Walk,
    order: tuple[Playing, ...],
    clock: Callable[[Fraction], time | None],
) -> PassedPlace:
    end_m = Fraction(str(place.end_m))
    # In a halt the whole column stands; a place is only passed when its last rank is.
    last_rank = end_m if is_halt else end_m + Fraction(str(route.column_m or 0))
    start = walk.reaches(Fraction(str(place.from_m)))
    end = walk.leaves(min(last_rank, Fraction(str(route.length_m))))
    found = _silence_broken if place.wanted is Wanted.SILENT else _not_sounding
    return PassedPlace(
        name=place.name,
        wanted=place.wanted,
        from_m=place.from_m,
        to_m=place.end_m,
        from_s=float(start),
        to_s=float(end),
        start=clock(start),
        end=clock(end),
        amiss=tuple(found((start, end), walk, order)),
        is_halt=is_halt,
    )


def _silence_broken(passing: Span, walk: Walk, order: tuple[Playing, ...]) -> Iterator[Amiss]:
    for each in order:
        heard = [part for span in each.sounds if (part := _overlap(span, passing))]
        if heard:
            seconds, metres = _amount(heard, walk)
            yield Amiss(each.name, seconds, metres, _hush(each, passing, walk))


def _not_sounding(passing: Span, walk: Walk, order: tuple[Playing, ...]) -> Iterator[Amiss]:
    tunes = [span for each in order for span in each.tunes]
    quiet = list(_gaps(passing, tunes))
    if quiet:
        seconds, metres = _amount(quiet, walk)
        yield Amiss("", seconds, metres, _greet(passing, order))


def _hush(each: Playing, passing: Span, walk: Walk) -> str:
    """How an item keeps its silence: stopped in time, or started when the last rank is past."""
    start, end = passing
    before = [stop for stop in each.stops if each.from_s + stop.seconds <= start]
    if before:
        last = before[-1]
        early = start - (each.from_s + last.seconds)
        metres = walk.metres_at(start) - walk.metres_at(start - early)
        when = f", {round(early)} s and {round(metres)} m before it" if early else ""
        return f"stop at the {last.words}{when}"
    # Rounded up: a second too many keeps the silence, a second too few does not.
    return f"start {each.name} {ceil(end - each.from_s)} s later"


def _greet(passing: Span, order: tuple[Playing, ...]) -> str:
    """How a set comes to sound at a place: the smallest move that carries it over the whole."""
    start, end = passing
    moves = []
    for each in order:
        if not each.tunes:
            continue
        first, last = each.tunes[0][0], each.tunes[-1][1]
        early, late = ceil(first - start), ceil(end - last)
        if 0 < early <= each.rest and last - early >= end:
            moves.append((early, f"start {each.name} {early} s earlier"))
        if late > 0 and first + late <= start:
            moves.append((late, f"start {each.name} {late} s later"))
    if not moves:
        return "no set reaches over it by starting earlier or later: put one there"
    return min(moves)[1]


def _overlap(span: Span, passing: Span) -> Span | None:
    """What two spans have in common; a moment counts when it lies within."""
    start, end = max(span[0], passing[0]), min(span[1], passing[1])
    is_moment = passing[0] == passing[1] and span[0] <= passing[0] < span[1]
    return (start, end) if start < end or is_moment else None


def _gaps(passing: Span, spans: Iterable[Span]) -> Iterator[Span]:
    """What of a passing no span covers."""
    at, end = passing
    parts = sorted(part for span in spans if (part := _overlap(span, passing)))
    if at == end and not parts:
        yield passing
    for part in parts:
        if part[0] > at:
            yield at, part[0]
        at = max(at, part[1])
    if at < end:
        yield at, end


def _amount(spans: Iterable[Span], walk: Walk) -> tuple[float, float]:
    """Seconds of all spans together, and the metres marched in them."""
    known = list(spans)
    seconds = sum((end - start for start, end in known), Fraction(0))
    metres = sum((walk.metres_at(end) - walk.metres_at(start) for start, end in known), Fraction(0))
    return float(seconds), float(metres)
