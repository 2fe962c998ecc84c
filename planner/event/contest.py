"""Is the performance inside the window, how many seconds are left, and are there enough players?

A window is inclusive at both ends and has no tolerance at all: one second over is over. Rules
change every season, so each set of rules carries its year and source, and every answer ends with
the sentence that the body's own current rules decide. Times in seconds from the first beat of the
first roll to the last note.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from enum import StrEnum
from fractions import Fraction

from planner.errors import RequestError
from planner.event.amounts import minutes_and_seconds, not_negative, plain
from planner.event.citation import cite
from planner.event.event import Instrument, LineUp
from planner.event.timetable import SetTimetable, lengths_with_nerves
from planner.findings import Finding
from planner.rules.rulebook import Quantity, RuleBook, Status

CONFIRM = "Confirm with your own body's current rules."

MINIMUM = "minimum"
INSTRUMENT_BY_RULE = {
    "pipers": Instrument.PIPES,
    "snares": Instrument.SNARE,
    "tenors": Instrument.TENOR,
    "basses": Instrument.BASS,
}


class Verdict(StrEnum):
    """Where a time lies against the window."""

    UNDER = "under"
    OK = "ok"
    OVER = "over"


@dataclass(frozen=True, slots=True)
class RuleSet:
    """What one body asks of one grade in one element in one year.

    ``shortest_s`` and ``longest_s`` are both None where no time limit is on record. ``minimum``
    is by instrument and holds only what the body names.
    """

    name: str
    body: str
    year: int
    grade: str
    element: str
    requires: str
    shortest_s: Fraction | None
    longest_s: Fraction | None
    minimum: Mapping[Instrument, int]
    source: str
    since: str

    @property
    def has_window(self) -> bool:
        """True when a time limit is on record."""
        return self.shortest_s is not None and self.longest_s is not None

    @property
    def window_words(self) -> str:
        """The window for reading: ``4:00 to 6:00``."""
        if self.shortest_s is None or self.longest_s is None:
            return "no time limit on record"
        return f"{minutes_and_seconds(self.shortest_s)} to {minutes_and_seconds(self.longest_s)}"


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
    time = not_negative("seconds", seconds, "the time played in seconds, such as 345")
    margin = min(time - rules.shortest_s, rules.longest_s - time)
    is_under = time < rules.shortest_s
    outside = Verdict.UNDER if is_under else Verdict.OVER
    verdict = Verdict.OK if margin >= 0 else outside
    return TimeVerdict(
        verdict, float(margin), _sentence(rules, verdict, margin), rules.source, rules.since
    )


def judge_set(rules: RuleSet, timetable: SetTimetable, rulebook: RuleBook) -> SetVerdict:
    """The verdict on a set at its own tempo and at the tempos that nerves may bring."""
    lengths = lengths_with_nerves(timetable, rulebook)
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
            rules.name,
        )
        for instrument, needed in rules.minimum.items()
        if line_up.count(instrument) < needed
    )


def find_ruleset(name: str, rulebook: RuleBook) -> RuleSet:
    """The rules of a name such as ``rspba-2026-grade-2-medley``; capitals and spaces are forgiven.

    Raises:
        RequestError: no such rules; the sentence offers the nearest names.
    """
    wanted = name.strip().lower().replace(" ", "-").replace("_", "-")
    by_name = {rules.name: rules for rules in all_rulesets(rulebook)}
    if wanted not in by_name:
        near = get_close_matches(wanted, by_name, n=3, cutoff=0.4)
        offer = " or ".join(near) or "one of the list"
        raise RequestError("ruleset", f"there are no rules {name!r} on record", f"choose {offer}")
    return by_name[wanted]


def all_rulesets(rulebook: RuleBook) -> tuple[RuleSet, ...]:
    """Every set of rules on record, by name."""
    found = []
    for season in rulebook.names("contests"):
        below = f"contests.{season}"
        for grade in rulebook.names(below):
            found += [
                _ruleset(season, grade, element, rulebook)
                for element in rulebook.names(f"{below}.{grade}")
            ]
    return tuple(sorted(found, key=lambda rules: rules.name))


def _ruleset(season: str, grade: str, element: str, rulebook: RuleBook) -> RuleSet:
    rules = rulebook.section(f"contests.{season}.{grade}.{element}")
    # Where the band has set one end of the window itself, the answer is the band's own.
    cited = min(rules.values(), key=lambda rule: rule.status is not Status.OWN)
    year = rulebook[f"contests.{season}.year"]
    requires = rules.get("requires")
    return RuleSet(
        name=f"{season}-{grade}-{element}".replace("_", "-"),
        body=rulebook.word(f"contests.{season}.body"),
        year=int(str(year.value)),
        grade=grade.replace("_", " "),
        element=element.replace("_", " "),
        requires=str(requires.value) if requires else "",
        shortest_s=_seconds(rules.get("shortest")),
        longest_s=_seconds(rules.get("longest")),
        minimum=_minimum(rulebook.section(f"contests.{season}.{grade}.{MINIMUM}")),
        source=cite(cited, rulebook),
        since=cited.since,
    )


def _minimum(rules: Mapping[str, Quantity]) -> dict[Instrument, int]:
    return {
        instrument: int(str(rules[word].value))
        for word, instrument in INSTRUMENT_BY_RULE.items()
        if word in rules
    }


def _seconds(rule: Quantity | None) -> Fraction | None:
    return None if rule is None else Fraction(str(rule.value))


def _sentence(rules: RuleSet, verdict: Verdict, margin: Fraction) -> str:
    window = rules.window_words
    amount = f"{plain(abs(margin))} s"
    if verdict is Verdict.OK:
        return f"Ok: inside {window}, {amount} from the nearer end."
    return f"{verdict.capitalize()} by {amount}: the window is {window}."
