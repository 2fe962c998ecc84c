"""Where does the band march? The stretches of the street, its halts, and the places along it.

Lengths are metres, places are metres from step-off, halts are seconds. A route may be one length,
or stretches in order that add up to it. What the band makes of it is reckoned in ``street.py``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from planner.errors import RequestError
from planner.event.amounts import not_negative, plain, positive


class Slope(StrEnum):
    """How a stretch lies; what it does to the pace is in the rule book."""

    LEVEL = "level"
    UP = "up"
    DOWN = "down"


class Wanted(StrEnum):
    """What is wanted of the band at a place: to be playing, or not to be heard."""

    SOUNDING = "sounding"
    SILENT = "silent"


@dataclass(frozen=True, slots=True)
class RouteStretch:
    """A piece of the street of one slope, and the halt at its end, if any.

    ``halt_s`` are the seconds the band stands there; it may play on the spot unless
    ``halt_is_silent``.
    """

    length_m: float
    slope: Slope = Slope.LEVEL
    name: str = ""
    halt_s: float = 0.0
    halt_is_silent: bool = False


@dataclass(frozen=True, slots=True)
class RoutePlace:
    """A place where the band is to be sounding or silent, in the band's own words.

    It lies from metre to metre; ``to_m`` None is a place at one metre.
    """

    name: str
    wanted: Wanted
    from_m: float
    to_m: float | None = None

    @property
    def end_m(self) -> float:
        """The metre where it ends."""
        return self.from_m if self.to_m is None else self.to_m


@dataclass(frozen=True, slots=True)
class Route:
    """The street: length, the band's own pace and step rate, and the speed that was asked for.

    ``column_m`` is how long the column is from the front rank to the last, if known. Without
    ``stretches`` the street is level and has no halt.
    """

    length_m: float
    pace_m: float
    steps_per_minute: float
    asked_m_per_minute: float | None = None
    column_m: float | None = None
    stretches: tuple[RouteStretch, ...] = ()
    places: tuple[RoutePlace, ...] = ()


def length_of_stretches(stretches: Iterable[RouteStretch]) -> float:
    """Metres of all stretches together, exact to the last figure that was written.

    Raises:
        RequestError: a stretch without a length.
    """
    lengths = (
        positive(f"stretch {number}", each.length_m, "its length in metres, such as 250")
        for number, each in enumerate(stretches, start=1)
    )
    return float(sum(lengths, Fraction(0)))


def check_route(route: Route) -> None:
    """Stop at a route that cannot be marched: lengths that disagree, a place beyond its end.

    Raises:
        RequestError: it names the stretch or place, counted from 1.
    """
    length = positive("route.length_m", route.length_m, "the length of the route in metres")
    total = length_of_stretches(route.stretches)
    for number, stretch in enumerate(route.stretches, start=1):
        not_negative(f"stretch {number}, halt", stretch.halt_s, "the seconds the band stands there")
    if route.stretches and Fraction(str(total)) != length:
        raise RequestError(
            "route.stretches",
            f"they add up to {plain(total)} m, the route is {plain(route.length_m)} m",
            "make the two agree, or leave the length of the route empty",
        )
    for number, place in enumerate(route.places, start=1):
        _check_place(number, place, route.length_m)


def _check_place(number: int, place: RoutePlace, length_m: float) -> None:
    name = place.name or f"place {number}"
    if not place.name:
        raise RequestError("route.places", f"{name} has no name", "write what is there")
    not_negative(name, place.from_m, "metres from step-off")
    if place.end_m < place.from_m:
        problem = f"{plain(place.from_m)} to {plain(place.end_m)} m for {name} runs backwards"
        raise RequestError("route.places", problem, "put the lower figure first")
    if place.end_m > length_m:
        problem = f"the route ends at {plain(length_m)} m, before {name} at {plain(place.end_m)} m"
        raise RequestError("route.places", problem, "give metres from step-off")
