"""What do the lists and pages of contest rules say?"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from itertools import groupby
from typing import Any

from api.display.choices import Choices
from api.display.form import FormView
from api.display.people import GROUP_WORDS
from api.display.words import counted, join_words, sentence, sentence_start
from planner.event.amounts import minutes_and_seconds
from planner.event.contest.own_rulesets import OwnRuleset
from planner.event.contest.rulesets import ClockFrom, RuleSet

CLOCKS: Choices = (
    ("", "as usual"),
    *((clock.value, f"from the {clock.value}") for clock in ClockFrom),
)


@dataclass(frozen=True, slots=True)
class RulesetLineView:
    """One rule set in a list; ``address`` is empty for one of the book's."""

    title: str
    name: str
    window: str
    asked: str
    players: str
    source: str
    address: str = ""
    set_by: str = ""


@dataclass(frozen=True, slots=True)
class RulesetsView:
    """The band's own rule sets, and the book's by body."""

    own: tuple[RulesetLineView, ...]
    book: tuple[tuple[str, tuple[RulesetLineView, ...]], ...]


@dataclass(frozen=True, slots=True)
class OwnRulesetView:
    """The page of one rule set of the band's own."""

    title: str
    name: str
    address: str
    version: str
    set_by: str


def rulesets_view(rulesets: Iterable[RuleSet], own: Iterable[RulesetLineView]) -> RulesetsView:
    """Every rule set: the band's own lines, and the rule book's."""
    of_book = [rules for rules in rulesets if not rules.is_own]
    return RulesetsView(
        own=tuple(own),
        book=tuple(
            (f"{body} {year}", tuple(ruleset_line(rules) for rules in group))
            for (body, year), group in groupby(of_book, lambda rules: (rules.body, rules.year))
        ),
    )


def ruleset_line(rules: RuleSet, address: str = "", set_by: str = "") -> RulesetLineView:
    """One rule set in words."""
    # The book's own words name types and parts already.
    words = asked_words(rules) if rules.is_own or not rules.requires else ()
    asked = "; ".join(filter(None, (*words, rules.requires)))
    return RulesetLineView(
        title=rules.whose,
        name=rules.name,
        window=rules.window_words,
        asked=sentence(sentence_start(asked)) if asked else "",
        players=join_words(
            [f"{GROUP_WORDS[one].lower()} {count}" for one, count in rules.minimum.items()]
        ),
        source=f"{rules.source}, since {rules.since}",
        address=address,
        set_by=set_by,
    )


def asked_words(rules: RuleSet) -> tuple[str, ...]:
    """What a set of rules asks of the music, one thing at a time."""
    asked = rules.asked
    said = [counted(rules.sets, "set")] if rules.sets > 1 else []
    said += [join_words(list(asked.tune_types))] if asked.tune_types else []
    said += [f"parts {' or '.join('-'.join(map(str, each)) for each in asked.parts)}"] * bool(
        asked.parts
    )
    said += [f"each of at least {asked.fewest_parts} parts"] if asked.fewest_parts else []
    said += [f"each of at most {asked.most_parts} parts"] if asked.most_parts else []
    said += [counted(asked.tunes, "tune")] if asked.tunes else []
    said += [f"{asked.parts_in_all} parts in all"] if asked.parts_in_all else []
    said += [f"marches in {' or '.join(asked.march_metres)}"] if asked.march_metres else []
    return tuple(said)


def own_ruleset_view(rules: OwnRuleset, number: int, version: int, said_by: str) -> OwnRulesetView:
    """The head of the page of a rule set of the band's own."""
    title = f"{rules.body} {rules.year}, {rules.grade}, {rules.element}"
    return OwnRulesetView(title, rules.name, address_of(number), str(version), said_by)


def address_of(number: int) -> str:
    """Where a rule set of the band's own stands."""
    return f"/rules/contests/{number}"


def ruleset_form(rules: OwnRuleset, action: str, version: int, set_by: str) -> FormView:
    """What stands in the form of a rule set."""
    values = {name: (_field_text(name, value),) for name, value in rules.table().items()}
    return FormView(action, {**values, "set_by": (set_by,)}, version=str(version), newer=action)


def ruleset_row(rules: RuleSet) -> dict[str, Any]:
    """A rule set for programs; seconds as numbers, None where no limit is on record."""
    return {
        "name": rules.name,
        "title": rules.whose,
        "window": rules.window_words,
        "shortest_seconds": None if rules.shortest_s is None else float(rules.shortest_s),
        "longest_seconds": None if rules.longest_s is None else float(rules.longest_s),
        "requires": rules.requires,
        "sets": rules.sets,
        "clock_from": rules.clock_from.value,
        "asked": asdict(rules.asked),
        "minimum": {instrument.value: count for instrument, count in rules.minimum.items()},
        "is_own": rules.is_own,
        "source": rules.source,
        "since": rules.since,
    }


def _field_text(name: str, value: Any) -> str:
    if name in ("shortest", "longest"):
        is_whole = float(value).is_integer()
        return minutes_and_seconds(value) if is_whole else f"{value:g}"
    return ", ".join(value) if isinstance(value, list) else str(value)
