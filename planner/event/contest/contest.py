"""Is the performance inside the window, how many seconds are left, and are there enough players?

A window is inclusive at both ends and has no tolerance at all: one second over is over. Rules
change every season, so each set of rules carries its year and source, and every answer ends with
the sentence that the body's own current rules decide. Times in seconds from the first beat of the
first roll, or from the first note where the rules say so, to the last note.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction

from planner.errors import RequestError
from planner.event.amounts import not_negative, plain
from planner.event.contest.rulesets import ClockFrom, RuleSet
from planner.event.event import LineUp
from planner.event.timetable import Kind, SetTimetable, lengths_with_nerves
from planner.findings import Finding
from planner.rules.rulebook import RuleBook

CONFIRM = "Confirm with your own body's current rules."


SECONDS = "the time played in seconds, such as 345"


class Verdict(StrEnum):
    """Where a time lies against the window."""

    UNDER = "under"
    OK = "ok"
    OVER = "over"


@dataclass(frozen=True, slots=True)
class TimeVerdict:
    """A time against a window.

    ``margin_seconds`` is what is left to the nearer end of the window, and negative by as much as
    the time lies outside: over by six seconds is -6.
    """

    verdict: Verdict
    margin_seconds: float
    text: str
    source: str
    since: str
    confirm: str = CONFIRM


@dataclass(frozen=True, slots=True)
class SetVerdict:
    """A set against a window: with nerves slowing it, as planned, and with nerves driving it."""

    slower: TimeVerdict
    planned: TimeVerdict
    quicker: TimeVerdict


def judge_time(rules: RuleSet, seconds: float | Fraction) -> TimeVerdict:
    """The verdict on a time and its margin in seconds, inclusive and without tolerance.

    Raises:
        RequestError: a negative time, or rules without a time limit on record.
    """
    if rules.shortest_s is None or rules.longest_s is None:
        raise RequestError("ruleset", f"{rules.name} has no time limit on record", "choose another")
    time = not_negative("seconds", seconds, SECONDS)
    margin = min(time - rules.shortest_s, rules.longest_s - time)
    is_under = time < rules.shortest_s
    outside = Verdict.UNDER if is_under else Verdict.OVER
    verdict = Verdict.OK if margin >= 0 else outside
    return TimeVerdict(
        verdict, float(margin), _sentence(rules, verdict, margin), rules.source, rules.since
    )


def with_nerves(
    rules: RuleSet, seconds: float, rulebook: RuleBook
) -> tuple[tuple[Fraction, TimeVerdict], tuple[Fraction, TimeVerdict]]:
    """A time played without silences at the tempos that nerves may bring: slower, then quicker.

    Raises:
        RequestError: as ``judge_time``.
    """
    share = Fraction(str(rulebook.number("drill.tempo.nerves")))
    time = not_negative("seconds", seconds, SECONDS)
    slower, quicker = time / (1 - share), time / (1 + share)
    return (slower, judge_time(rules, slower)), (quicker, judge_time(rules, quicker))


def on_the_clock(rules: RuleSet, timetable: SetTimetable) -> SetTimetable:
    """What of a set the contest's clock counts: without the rolls where it starts later."""
    if rules.clock_from is ClockFrom.FIRST_ROLL:
        return timetable
    counted = tuple(each for each in timetable.stretches if each.kind is not Kind.INTRODUCTION)
    return replace(timetable, stretches=counted)


def judge_set(rules: RuleSet, timetable: SetTimetable, rulebook: RuleBook) -> SetVerdict:
    """The verdict on a set at its own tempo and at the tempos that nerves may bring."""
    lengths = lengths_with_nerves(on_the_clock(rules, timetable), rulebook)
    return SetVerdict(
        slower=judge_time(rules, lengths.slower),
        planned=judge_time(rules, lengths.planned),
        quicker=judge_time(rules, lengths.quicker),
    )


def check_minimum(rules: RuleSet, line_up: LineUp) -> tuple[Finding, ...]:
    """A finding for each instrument of which the line-up has fewer than the rules ask."""
    return tuple(
        Finding(
            "too_few_players",
            f"{line_up.count(instrument)} on {instrument.value} where {rules.body} {rules.year} "
            f"asks for {needed} in {rules.grade}. {CONFIRM}",
            "line-up",
        )
        for instrument, needed in rules.minimum.items()
        if line_up.count(instrument) < needed
    )


def _sentence(rules: RuleSet, verdict: Verdict, margin: Fraction) -> str:
    window = rules.window_words
    exact = abs(margin)
    amount = f"{plain(round(exact, 2) or exact)} s"
    if verdict is Verdict.OK:
        return f"Ok: inside {window}, {amount} from the nearer end."
    return f"{verdict.capitalize()} by {amount}: the window is {window}."
