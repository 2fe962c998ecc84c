"""How far does the band march, and for how long?

Metres = paces x pace, one pace to a felt beat. Lengths in metres, step rates in paces a minute,
ground speed in metres a minute. Where each set starts on the street is reckoned in ``street.py``;
whether the numbers suit each other is asked in ``street_checks.py``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from planner.errors import RequestError
from planner.event.amounts import not_negative, positive
from planner.event.route import Route
from planner.event.street.walk import PACE, RATE, Leg, legs_of
from planner.event.timetable import EventTimetable
from planner.rules.rulebook import RuleBook

METRES_IN_A_MILE = Fraction("1609.344")
"""How long is a mile? The international mile, exact since 1959."""

METRES_IN_AN_INCH = Fraction("0.0254")
"""How long is an inch? Exact since 1959: a pace of 30 inches is 0.762 m."""


@dataclass(frozen=True, slots=True)
class March:
    """A march: how long, how far, how fast over the ground."""

    metres: float
    minutes: float
    metres_per_minute: float


@dataclass(frozen=True, slots=True)
class RoutePlan:
    """The route against the running order.

    ``walking_minutes`` are those in motion at the band's own rate, ``halted_minutes`` those of the
    halts, ``metres_per_minute`` the speed in motion. ``rounds_to_fill`` is how often the whole
    running order, gaps included, fits the route, and ``rounds_needed`` the whole number that fills
    it; both are None when there is nothing to play. ``playing_share`` and ``rest_share`` are of the
    time on the route with the order played once, capped at the whole; ``playing_share_filled`` when
    it is played round and round.
    """

    walking_minutes: float
    metres_per_minute: float
    rounds_to_fill: float | None
    rounds_needed: int | None
    playing_share: float
    rest_share: float
    playing_share_filled: float
    halted_minutes: float = 0.0

    @property
    def minutes(self) -> float:
        """Minutes from step-off to the end of the route, halts included."""
        return self.walking_minutes + self.halted_minutes


@dataclass(frozen=True, slots=True)
class SoundDelay:
    """How late the front rank is heard at the back: milliseconds, and the share of a beat."""

    ms: float
    share_of_beat: float


def march(
    steps_per_minute: float,
    pace_m: float,
    *,
    minutes: float | None = None,
    distance_m: float | None = None,
) -> March:
    """The metres of so many minutes, or the minutes of so many metres.

    Raises:
        RequestError: a rate, pace or length that is not above zero; both or neither of minutes
            and distance.
    """
    speed = ground_speed(steps_per_minute, pace_m)
    if minutes is not None and distance_m is None:
        exact_minutes = positive("minutes", minutes, "how long the band marches, such as 10")
        return March(float(speed * exact_minutes), minutes, float(speed))
    if distance_m is not None and minutes is None:
        metres = positive("distance", distance_m, "the length of the route in metres")
        return March(distance_m, float(metres / speed), float(speed))
    problem = "is given beside minutes" if minutes is not None else "and minutes are both missing"
    raise RequestError("distance", problem, "give one of the two")


def ground_speed(steps_per_minute: float, pace_m: float) -> Fraction:
    """Exact metres a minute: paces a minute times the length of a pace."""
    return positive("rate", steps_per_minute, RATE) * positive("pace", pace_m, PACE)


def cover_route(route: Route, timetable: EventTimetable, rulebook: RuleBook) -> RoutePlan:
    """How the running order fills the route: rounds, playing and rest."""
    legs = legs_of(route, rulebook)
    length = positive("route", route.length_m, "its length in metres")
    walking = seconds_of(legs, positive("rate", route.steps_per_minute, RATE))
    halted = sum((leg.halt_s for leg in legs), Fraction(0))
    sets = [slot.timetable for slot in timetable.slots if slot.timetable is not None]
    playing = sum((each.length() for each in sets), Fraction(0))
    round_length = _round_length(timetable)
    rounds = (walking + halted) / round_length if round_length else None
    share = min(playing / (walking + halted), Fraction(1))
    return RoutePlan(
        walking_minutes=float(walking / 60),
        metres_per_minute=float(length * 60 / walking),
        rounds_to_fill=None if rounds is None else float(rounds),
        rounds_needed=None if rounds is None else -(-rounds.numerator // rounds.denominator),
        playing_share=float(share),
        rest_share=float(1 - share),
        playing_share_filled=float(playing / round_length) if round_length else 0.0,
        halted_minutes=float(halted / 60),
    )


def seconds_of(legs: Iterable[Leg], rate: Fraction) -> Fraction:
    """Exact seconds to walk these stretches at so many paces a minute, without their halts."""
    return sum((leg.paces for leg in legs), Fraction(0)) * 60 / rate


def rate_for_speed(metres_per_minute: float, pace_m: float) -> float:
    """The paces a minute that a ground speed asks for."""
    speed = positive("speed", metres_per_minute, "metres a minute, such as 65")
    return float(speed / positive("pace", pace_m, PACE))


def miles_an_hour(mph: float) -> float:
    """Metres a minute of a speed in miles an hour, as organisers give it."""
    return float(positive("speed", mph, "miles an hour, such as 3") * METRES_IN_A_MILE / 60)


def sound_delay(column_m: float, tempo_bpm: float, rulebook: RuleBook) -> SoundDelay:
    """How late the sound of the front reaches the back of a column, also as a share of a beat."""
    metres = not_negative("column", column_m, "its length in metres")
    ms = metres * Fraction(str(rulebook.number("thresholds.clash.ms_a_metre")))
    beat = Fraction(60_000) / positive("tempo", tempo_bpm, "felt beats a minute, such as 88")
    return SoundDelay(float(ms), float(ms / beat))


def _round_length(timetable: EventTimetable) -> Fraction:
    # Round and round, the gap after the last item counts as well.
    if not timetable.slots:
        return Fraction(0)
    last_gap = timetable.slots[-1].item.gap_after_s
    return timetable.length + not_negative("gap after", last_gap, "the seconds between two items")
