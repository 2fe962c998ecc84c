"""What does one body ask of one grade in one element in one year, and where is it on record?

Rule sets are dated data: the book's stand in ``rules/data/contests``, a band lays its own over
them. Windows are in seconds; what is not on record is empty, and nothing is guessed in its place.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from enum import StrEnum
from fractions import Fraction

from planner.errors import RequestError
from planner.event.amounts import minutes_and_seconds
from planner.event.citation import cite
from planner.event.event import Instrument
from planner.rules.rulebook import Quantity, RuleBook, Status

MINIMUM = "minimum"
INSTRUMENT_BY_RULE = {
    "pipers": Instrument.PIPES,
    "snares": Instrument.SNARE,
    "tenors": Instrument.TENOR,
    "basses": Instrument.BASS,
}
ELEMENT_WORDS = {"march strathspey reel": "march, strathspey and reel"}
USUAL_CLOCK = "drill.contest.clock_from"


class ClockFrom(StrEnum):
    """Where the clock of a contest starts; it always stops at the last note."""

    FIRST_ROLL = "first roll"
    FIRST_NOTE = "first note"


@dataclass(frozen=True, slots=True)
class Asked:
    """What a set has to be made of; empty or None where the body asks for nothing.

    ``tune_types`` are in order of playing. ``parts`` are the numbers of parts of each type that
    are allowed, such as 4-4-4 or 4-2-2. ``fewest_parts`` and ``most_parts`` hold for each tune;
    ``one_of_most_parts`` for each tune of one submitted set, ``one_of_fewest_parts`` of another.
    """

    tune_types: tuple[str, ...] = ()
    parts: tuple[tuple[int, ...], ...] = ()
    fewest_parts: int | None = None
    most_parts: int | None = None
    tunes: int | None = None
    parts_in_all: int | None = None
    march_metres: tuple[str, ...] = ()
    one_of_most_parts: int | None = None
    one_of_fewest_parts: int | None = None


@dataclass(frozen=True, slots=True)
class RuleSet:
    """What one body asks of one grade in one element in one year.

    ``shortest_s`` and ``longest_s`` are both None where no time limit is on record. ``minimum``
    is by instrument and holds only what the body names. ``sets`` is how many are submitted, of
    which one is drawn at the line. ``is_own`` is True for rules the band has added itself.
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
    sets: int = 1
    asked: Asked = Asked()
    clock_from: ClockFrom = ClockFrom.FIRST_ROLL
    is_own: bool = False

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

    @property
    def whose(self) -> str:
        """Body, year, grade and element for reading: ``RSPBA 2026, grade 2, medley``."""
        element = ELEMENT_WORDS.get(self.element, self.element)
        return f"{self.body} {self.year}, {self.grade}, {element}"


def find_ruleset(name: str, rulebook: RuleBook) -> RuleSet:
    """The rules of a name such as ``rspba-2026-grade-2-medley``; capitals and spaces are forgiven.

    Raises:
        RequestError: no such rules; the sentence offers the nearest names.
    """
    wanted = ruleset_name(name)
    places = _places(rulebook)
    by_name = {place.name: place for place in places}
    if wanted not in by_name:
        near = get_close_matches(wanted, by_name, n=3, cutoff=0.4)
        offer = " or ".join(near) or "one of the list"
        raise RequestError("ruleset", f"there are no rules {name!r} on record", f"choose {offer}")
    return _ruleset(by_name[wanted], places, rulebook)


def ruleset_name(words: str) -> str:
    """A name of contest rules as it is on record, from how people write it."""
    return words.strip().lower().replace(" ", "-").replace("_", "-")


def all_rulesets(rulebook: RuleBook) -> tuple[RuleSet, ...]:
    """Every set of rules on record, by name."""
    places = _places(rulebook)
    found = (_ruleset(place, places, rulebook) for place in places)
    return tuple(sorted(found, key=lambda rules: rules.name))


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a rule set stands in the rule book."""

    season: str
    grade: str
    element: str

    @property
    def name(self) -> str:
        """The name of the rule set there."""
        return ruleset_name(f"{self.season}-{self.grade}-{self.element}")


_Places = Mapping[_Place, Mapping[str, Quantity]]


def _places(rulebook: RuleBook) -> _Places:
    """The rules of every rule set by its place; one walk, since a page asks for many of them."""
    found: dict[_Place, dict[str, Quantity]] = {}
    for key, rule in rulebook.quantities.items():
        steps = key.split(".", 4) if key.startswith("contests.") else ()
        if len(steps) == 5:
            place = _Place(*steps[1:4])
            found.setdefault(place, {})[steps[4]] = rule
    return found


def _ruleset(place: _Place, places: _Places, rulebook: RuleBook) -> RuleSet:
    rules = places[place]
    # Where the band has set one end of the window itself, the answer is the band's own.
    cited = min(rules.values(), key=lambda rule: rule.status is not Status.OWN)
    season = f"contests.{place.season}"
    own = {name.removeprefix(f"{MINIMUM}."): rule for name, rule in rules.items()}
    is_own = "body" in rules
    of_grade = places.get(replace(place, element=MINIMUM), {})
    return RuleSet(
        name=place.name,
        body=_text(rules.get("body") or rulebook[f"{season}.body"]),
        year=_count(rules.get("year") or rulebook[f"{season}.year"]) or 0,
        grade=_text(rules.get("grade")) or place.grade.replace("_", " "),
        element=_text(rules.get("element")) or place.element.replace("_", " "),
        requires=_text(rules.get("requires")),
        shortest_s=_seconds(rules.get("shortest")),
        longest_s=_seconds(rules.get("longest")),
        minimum=_minimum(own if is_own else of_grade),
        source=_whose_own(cited) if is_own else cite(cited, rulebook),
        since=cited.since,
        sets=_count(rules.get("sets")) or 1,
        asked=_asked(rules),
        clock_from=_clock(rules.get("clock_from") or rulebook[USUAL_CLOCK]),
        is_own=is_own,
    )


def _whose_own(rule: Quantity) -> str:
    """Who added rules of the band's own, when, and from where they say they are."""
    said = ("the band's own rules", rule.set_by, rule.set_on, rule.source)
    return ", ".join(word for word in said if word)


def _asked(rules: Mapping[str, Quantity]) -> Asked:
    return Asked(
        tune_types=_words(rules.get("tune_types")),
        parts=tuple(read_parts(each) for each in _words(rules.get("parts"))),
        fewest_parts=_count(rules.get("fewest_parts")),
        most_parts=_count(rules.get("most_parts")),
        tunes=_count(rules.get("tunes")),
        parts_in_all=_count(rules.get("parts_in_all")),
        march_metres=_words(rules.get("march_metres")),
        one_of_most_parts=_count(rules.get("one_of_most_parts")),
        one_of_fewest_parts=_count(rules.get("one_of_fewest_parts")),
    )


def read_parts(text: str) -> tuple[int, ...]:
    """The parts of each tune type, as the trade writes them: ``4-2-2``.

    Raises:
        RequestError: it is not written so.
    """
    numbers = text.replace(" ", "").split("-")
    if not all(each.isascii() and each.isdigit() and 0 < int(each) <= 40 for each in numbers):
        raise RequestError("parts", f"“{text}” are no parts", "write them as 4-4-4")
    return tuple(map(int, numbers))


def _clock(rule: Quantity) -> ClockFrom:
    try:
        return ClockFrom(str(rule.value))
    except ValueError as error:
        known = " or ".join(ClockFrom)
        problem = f"“{rule.value}” starts no clock"
        raise RequestError("clock from", problem, f"choose {known}") from error


def _minimum(rules: Mapping[str, Quantity]) -> dict[Instrument, int]:
    return {
        instrument: _count(rules[word]) or 0
        for word, instrument in INSTRUMENT_BY_RULE.items()
        if word in rules
    }


def _seconds(rule: Quantity | None) -> Fraction | None:
    return None if rule is None else Fraction(str(rule.value))


def _count(rule: Quantity | None) -> int | None:
    return None if rule is None else int(float(str(rule.value)))


def _text(rule: Quantity | None) -> str:
    return "" if rule is None else str(rule.value)


def _words(rule: Quantity | None) -> tuple[str, ...]:
    if rule is None:
        return ()
    return tuple(map(str, rule.value)) if isinstance(rule.value, tuple) else (str(rule.value),)
