"""How long does a route take that somebody says in a few words: ``250 up``, ``400 halt 60``?

A stretch is its metres, then ``up`` or ``down`` where it is not level, then ``halt`` and the
seconds the band stands at its end.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from planner.errors import RequestError
from planner.event.amounts import positive
from planner.event.route import Route, RouteStretch, Slope, check_route, length_of_stretches
from planner.event.street.parade import seconds_of
from planner.event.street.walk import RATE, legs_of
from planner.rules.rulebook import RuleBook

REMEDY = "write such as 250, 250 up, or 400 down halt 60"


@dataclass(frozen=True, slots=True)
class MarchedStretch:
    """A stretch as it is marched: metres, the metres of one pace on it, seconds in motion."""

    metres: float
    slope: str
    pace_m: float
    seconds: float
    halt_s: float


@dataclass(frozen=True, slots=True)
class MarchedStretches:
    """The whole of it; ``minutes`` with the halts, ``metres_per_minute`` without them."""

    metres: float
    minutes: float
    walking_minutes: float
    halted_minutes: float
    metres_per_minute: float
    stretches: tuple[MarchedStretch, ...]


def march_stretches(
    steps_per_minute: float, pace_m: float, spoken: Sequence[str], rulebook: RuleBook
) -> MarchedStretches:
    """The minutes of stretches in order.

    Raises:
        RequestError: a stretch that cannot be understood, or a length, pace or rate that makes no
            sense.
    """
    stretches = tuple(read_stretch(words) for words in spoken)
    length = length_of_stretches(stretches)
    route = Route(length, pace_m, steps_per_minute, stretches=stretches)
    check_route(route)
    rate = positive("rate", steps_per_minute, RATE)
    legs = legs_of(route, rulebook)
    walking, halted = seconds_of(legs, rate), _total(leg.halt_s for leg in legs)
    return MarchedStretches(
        metres=length,
        minutes=float((walking + halted) / 60),
        walking_minutes=float(walking / 60),
        halted_minutes=float(halted / 60),
        metres_per_minute=float(Fraction(str(length)) * 60 / walking),
        stretches=tuple(
            MarchedStretch(
                metres=leg.stretch.length_m,
                slope=leg.stretch.slope.value,
                pace_m=float(leg.pace_m),
                seconds=float(seconds_of((leg,), rate)),
                halt_s=leg.stretch.halt_s,
            )
            for leg in legs
        ),
    )


def read_stretch(spoken: str) -> RouteStretch:
    """A stretch from its words.

    Raises:
        RequestError: it starts with no number, or has a word that is none of ours.
    """
    words = spoken.lower().replace(",", " ").split()
    slope, halt, rest = Slope.LEVEL, 0.0, words[1:]
    if rest and rest[0] in set(Slope):
        slope, rest = Slope(rest[0]), rest[1:]
    if len(rest) == 2 and rest[0] == "halt":
        halt, rest = _number(rest[1], spoken), []
    if not words or rest:
        raise RequestError("stretch", f"{spoken!r} is not understood", REMEDY)
    return RouteStretch(_number(words[0], spoken), slope, halt_s=halt)


def _number(word: str, spoken: str) -> float:
    try:
        return float(word)
    except ValueError as error:
        raise RequestError("stretch", f"{spoken!r} is not understood", REMEDY) from error


def _total(amounts: Iterable[Fraction]) -> Fraction:
    return sum(amounts, Fraction(0))
