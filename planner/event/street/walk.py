"""Where is the band at which second?

A walk is a line through moments (seconds, metres) from step-off: on a stretch the front rank goes a
pace to every step, in a halt the metres stand still while the seconds run on. It steps at the rate
of what is being played, and at the band's own rate where nothing is. On a slope the paces are
shorter or longer and the beat stays: the tempo is the law of the street.

Beyond the end of the route the line goes on as on level ground, so that a set which is too long
still has its metres. Everything is exact.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from planner.event.amounts import not_negative, positive
from planner.event.route import Route, RouteStretch, Slope
from planner.rules.rulebook import RuleBook

PACE = "the length of one pace in metres, such as 0.762"
RATE = "the band's own paces a minute, such as 86"


@dataclass(frozen=True, slots=True)
class Leg:
    """A stretch where it lies: metres from step-off, and the metres of one pace on it."""

    stretch: RouteStretch
    from_m: Fraction
    to_m: Fraction
    pace_m: Fraction

    @property
    def paces(self) -> Fraction:
        """How many paces it takes."""
        return (self.to_m - self.from_m) / self.pace_m

    @property
    def halt_s(self) -> Fraction:
        """Seconds the band stands at its end."""
        return not_negative("halt", self.stretch.halt_s, "the seconds the band stands there")


@dataclass(frozen=True, slots=True)
class Pacing:
    """So many seconds, stepped at so many paces a minute."""

    seconds: Fraction
    rate: Fraction


@dataclass(frozen=True, slots=True)
class Walk:
    """The line of a walk: ``seconds`` and ``metres`` rise together, and go on at ``speed_after``.

    ``speed_after`` is in metres a second.
    """

    seconds: tuple[Fraction, ...]
    metres: tuple[Fraction, ...]
    speed_after: Fraction

    def metres_at(self, second: Fraction) -> Fraction:
        """Where the front rank is at a second."""
        return self._along(self.seconds, self.metres, second, self.speed_after)

    def reaches(self, metre: Fraction) -> Fraction:
        """The second at which the front rank comes to a metre."""
        if metre <= 0:
            return Fraction(0)
        return self._crossing(metre, bisect_left(self.metres, metre))

    def leaves(self, metre: Fraction) -> Fraction:
        """The second at which it goes on from there: later than ``reaches`` where it halts."""
        place = bisect_right(self.metres, metre)
        if self.metres[place - 1] == metre:
            return self.seconds[place - 1]
        return self._crossing(metre, place)

    def _crossing(self, metre: Fraction, place: int) -> Fraction:
        if place >= len(self.metres):
            return self.seconds[-1] + (metre - self.metres[-1]) / self.speed_after
        share = (metre - self.metres[place - 1]) / (self.metres[place] - self.metres[place - 1])
        return self.seconds[place - 1] + share * (self.seconds[place] - self.seconds[place - 1])

    @staticmethod
    def _along(
        at: tuple[Fraction, ...], values: tuple[Fraction, ...], wanted: Fraction, after: Fraction
    ) -> Fraction:
        place = bisect_right(at, wanted)
        if place >= len(at):
            return values[-1] + (wanted - at[-1]) * after
        share = (wanted - at[place - 1]) / (at[place] - at[place - 1])
        return values[place - 1] + share * (values[place] - values[place - 1])


def legs_of(route: Route, rulebook: RuleBook) -> tuple[Leg, ...]:
    """The stretches where they lie, each with its pace; a route of one length is one level leg.

    Raises:
        RequestError: a length, halt or pace that cannot be reckoned with.
    """
    stretches = route.stretches or (RouteStretch(route.length_m),)
    legs = []
    at = Fraction(0)
    for number, stretch in enumerate(stretches, start=1):
        field = f"stretch {number}" if route.stretches else "route"
        length = positive(field, stretch.length_m, "its length in metres")
        pace = pace_on(stretch.slope, route, rulebook)
        legs.append(Leg(stretch, at, at + length, pace))
        at += length
    return tuple(legs)


def pace_on(slope: Slope, route: Route, rulebook: RuleBook) -> Fraction:
    """Exact metres of one pace on a slope: the band's own pace by the rule book's factor."""
    own = positive("pace", route.pace_m, PACE)
    if slope is Slope.LEVEL:
        return own
    return own * Fraction(str(rulebook.number(f"drill.street.pace_{slope.value}")))


def walk_route(route: Route, pacings: Iterable[Pacing], rulebook: RuleBook) -> Walk:
    """The walk along a route while all this is played; after it the band goes on in silence.

    Raises:
        RequestError: a length, halt, pace or rate that cannot be reckoned with.
    """
    own_rate = positive("rate", route.steps_per_minute, RATE)
    legs = legs_of(route, rulebook)
    level = pace_on(Slope.LEVEL, route, rulebook)
    seconds, metres = [Fraction(0)], [Fraction(0)]
    for step, gone in _steps(legs, pacings, own_rate, level):
        seconds.append(seconds[-1] + step)
        metres.append(metres[-1] + gone)
    return Walk(tuple(seconds), tuple(metres), own_rate / 60 * level)


def _steps(
    legs: tuple[Leg, ...], pacings: Iterable[Pacing], own_rate: Fraction, level: Fraction
) -> Iterator[tuple[Fraction, Fraction]]:
    """(seconds, metres) of each piece on which neither the pace nor the rate changes."""
    ahead = list(_pieces(legs))[::-1]
    for pacing in pacings:
        left = pacing.seconds
        while left > 0:
            taken = _take(ahead, left, pacing.rate, level)
            yield taken
            left -= taken[0]
    while ahead:
        # Nothing is played any more: each piece is walked to its end at the band's own rate.
        pace, length = ahead[-1]
        whole = length if pace is None else length * 60 / (own_rate * pace)
        yield _take(ahead, whole, own_rate, level)


Piece = tuple[Fraction | None, Fraction]
"""(metres of a pace, metres left), or (None, seconds left) for a halt."""


def _pieces(legs: Iterable[Leg]) -> Iterator[Piece]:
    for leg in legs:
        yield leg.pace_m, leg.to_m - leg.from_m
        if leg.halt_s:
            yield None, leg.halt_s


def _take(
    ahead: list[Piece], left: Fraction, rate: Fraction, level: Fraction
) -> tuple[Fraction, Fraction]:
    """The seconds and metres until ``left`` is over, or the piece ahead is; it is shortened."""
    if not ahead:
        return left, left * rate / 60 * level
    pace, length = ahead.pop()
    if pace is None:
        step, gone, rest = min(left, length), Fraction(0), length - min(left, length)
    else:
        speed = rate / 60 * pace
        step = min(left, length / speed)
        gone, rest = step * speed, length - step * speed
    if rest:
        ahead.append((pace, rest))
    return step, gone
