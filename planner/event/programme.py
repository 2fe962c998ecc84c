"""Is a set made of what its contest rules ask for, and are as many sets ready as are submitted?

Tune types are counted by idiom: a pointed and a round reel are both a reel. Parts are those an
entry plays, each once, however often the tune comes round: two tunes of two parts are four parts.
Where a body asks for several sets, one is drawn at the line, so all must be ready.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from planner.event.contest.contest import CONFIRM
from planner.event.contest.rulesets import RuleSet
from planner.event.event import Set
from planner.event.played_parts import as_played
from planner.findings import Finding
from planner.music.tune import Tune


@dataclass(frozen=True, slots=True)
class Played:
    """One tune of a set as the rules count it; ``tune_type`` is empty where nobody has said."""

    title: str
    tune_type: str
    parts: int
    metre: str


def check_programme(rules: RuleSet, a_set: Set, tunes: Mapping[str, Tune]) -> tuple[Finding, ...]:
    """A finding for each thing the rules ask of the tunes that the set has not."""
    played = _all_played(a_set, tunes)
    problems = (
        *_types(rules, played),
        *_parts_of_types(rules, played),
        *_parts_of_tunes(rules, played),
        *_numbers(rules, played),
        *_metres(rules, played),
    )
    return tuple(Finding("not_as_asked", f"{text}. {CONFIRM}", a_set.name) for text in problems)


def check_submitted(
    entered: Iterable[tuple[RuleSet, Set]], tunes: Mapping[str, Tune]
) -> Iterator[Finding]:
    """What is not as asked of the sets of the same rules together: their number, their parts."""
    by_rules: dict[str, tuple[RuleSet, list[Set]]] = {}
    for rules, a_set in entered:
        by_rules.setdefault(rules.name, (rules, []))[1].append(a_set)
    for rules, sets in by_rules.values():
        if len(sets) != rules.sets:
            names = ", ".join(each.name for each in sets)
            text = (
                f"{_counted(len(sets), 'set')} entered ({names}) where {rules.whose} "
                f"asks for {rules.sets}. {CONFIRM}"
            )
            yield Finding("sets_to_submit", text, rules.whose)
        for text in sets_together(rules, sets, tunes):
            yield Finding("not_as_asked", f"{text}. {CONFIRM}", rules.whose)


def sets_together(
    rules: RuleSet, sets: Sequence[Set], tunes: Mapping[str, Tune]
) -> tuple[str, ...]:
    """What is not as asked of several sets together, in words without a full stop."""
    most, fewest = rules.asked.one_of_most_parts, rules.asked.one_of_fewest_parts
    if most is None or fewest is None or len(sets) < 2:
        return ()
    parts = [[each.parts for each in _all_played(a_set, tunes)] for a_set in sets]
    short = {at for at, each in enumerate(parts) if max(each, default=0) <= most}
    long = {at for at, each in enumerate(parts) if min(each, default=0) >= fewest}
    if any(one != other for one in short for other in long):
        return ()
    return (f"one set of tunes of at most {most} parts and another of at least {fewest} are asked",)


def _all_played(a_set: Set, tunes: Mapping[str, Tune]) -> list[Played]:
    return [
        _played(tunes[entry.tune_key], len(as_played(entry, tunes[entry.tune_key]).parts))
        for entry in a_set.entries
    ]


def tune_type(tune: Tune) -> str:
    """The type a tune counts as; empty where nobody has said."""
    return type_of_idiom(tune.idiom or "")


def type_of_idiom(idiom: str) -> str:
    """The type of tune an idiom counts as: ``reel`` for a pointed and a round one."""
    return "reel" if idiom.endswith("reel") else idiom


def _played(tune: Tune, parts: int) -> Played:
    return Played(tune.title, tune_type(tune), parts, f"{tune.metre.count}/{tune.metre.unit}")


def _types(rules: RuleSet, played: Sequence[Played]) -> Iterator[str]:
    asked = rules.asked.tune_types
    if not asked or not played:
        return
    unknown = [each.title for each in played if not each.tune_type]
    if unknown:
        yield f"nobody has said which type of tune {_listed(unknown)} is: set its idiom"
        return
    found = tuple(name for name, _ in groupby(each.tune_type for each in played))
    if found != asked:
        yield (
            f"{_listed(asked)} are asked, in this order, and the set plays {_listed(found)}"
            if (len(asked) > 1)
            else f"only the {asked[0]} is asked, and the set plays {_listed(found)}"
        )


def _parts_of_types(rules: RuleSet, played: Sequence[Played]) -> Iterator[str]:
    asked = rules.asked
    if not asked.parts or not played:
        return
    found = tuple(
        sum(each.parts for each in played if each.tune_type == name) for name in asked.tune_types
    )
    if found not in asked.parts:
        choices = " or ".join("-".join(map(str, each)) for each in asked.parts)
        yield f"{choices} parts are asked, and the set plays {'-'.join(map(str, found))}"


def _parts_of_tunes(rules: RuleSet, played: Sequence[Played]) -> Iterator[str]:
    fewest, most = rules.asked.fewest_parts, rules.asked.most_parts
    for each in played:
        if fewest is not None and each.parts < fewest:
            yield f"{each.title} has {_counted(each.parts, 'part')}, at least {fewest} are asked"
        if most is not None and each.parts > most:
            yield f"{each.title} has {_counted(each.parts, 'part')}, at most {most} are asked"


def _numbers(rules: RuleSet, played: Sequence[Played]) -> Iterator[str]:
    tunes, parts = rules.asked.tunes, rules.asked.parts_in_all
    if tunes is not None and len(played) != tunes:
        yield f"{_counted(tunes, 'tune')} asked, and the set has {len(played)}"
    in_all = sum(each.parts for each in played)
    if parts is not None and in_all != parts:
        yield f"{_counted(parts, 'part')} in all asked, and the set has {in_all}"


def _metres(rules: RuleSet, played: Sequence[Played]) -> Iterator[str]:
    allowed = rules.asked.march_metres
    for each in played:
        if allowed and each.tune_type == "march" and each.metre not in allowed:
            yield f"{each.title} is in {each.metre}, marches in {_or(allowed)} are asked"


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def _or(words: Sequence[str]) -> str:
    return " or ".join(words)


def _listed(words: Sequence[str]) -> str:
    *most, last = words
    return f"{', '.join(most)} and {last}" if most else last
