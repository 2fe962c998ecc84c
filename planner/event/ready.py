"""Is every set that is submitted ready, whichever is drawn at the line?

Ready means: inside the window also with nerves, made of what the rules ask for, enough players, and
nobody asked for a tune they have not learnt.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from planner.event.checks import check_contest
from planner.event.contest.contest import CONFIRM
from planner.event.contest.rulesets import RuleSet, find_ruleset
from planner.event.event import LineUp, Set
from planner.event.programme import sets_together
from planner.event.timetable import SetTimetable
from planner.music.tune import Tune
from planner.rules.rulebook import RuleBook


@dataclass(frozen=True, slots=True)
class SetReady:
    """A submitted set and what stands in its way; nothing when it is ready."""

    key: str
    name: str
    problems: tuple[str, ...]

    @property
    def is_ready(self) -> bool:
        """True when it can be drawn."""
        return not self.problems


@dataclass(frozen=True, slots=True)
class Submission:
    """The sets entered under the same rules; ``problems`` stand in the way of them together."""

    rules: RuleSet
    sets: tuple[SetReady, ...]
    problems: tuple[str, ...] = ()

    @property
    def is_ready(self) -> bool:
        """True when as many sets are entered as are asked, and each can be drawn."""
        is_whole = len(self.sets) == self.rules.sets and not self.problems
        return is_whole and all(each.is_ready for each in self.sets)

    @property
    def text(self) -> str:
        """Ready or not, in one sentence."""
        asked, there = self.rules.sets, len(self.sets)
        if there < asked:
            return f"{there} of {asked} sets are entered."
        if there > asked:
            wanted = "one is asked for" if asked == 1 else f"{asked} are asked for"
            return f"{there} sets are entered where {wanted}."
        waiting = [each.name for each in self.sets if not each.is_ready]
        if waiting:
            return f"Not ready: {', '.join(waiting)}."
        if self.problems:
            return f"Not ready: {'; '.join(self.problems)}."
        if asked == 1:
            return "The set is ready."
        each = "Both" if asked == 2 else f"All {asked}"
        return f"{each} sets are ready, whichever is drawn at the line."


def submissions(
    timed: Sequence[tuple[Set, SetTimetable]],
    tunes: Mapping[str, Tune],
    line_up: LineUp,
    rulebook: RuleBook,
    cannot_play: Mapping[str, Sequence[str]],
) -> tuple[Submission, ...]:
    """The sets of an event by the rules they are entered under, in the order of playing.

    ``cannot_play`` holds by tune key who has not learnt it, each as a sentence.
    """
    entered: dict[str, list[SetReady]] = {}
    rules_by_name: dict[str, RuleSet] = {}
    for a_set, timetable in timed:
        if a_set.ruleset:
            rules = find_ruleset(a_set.ruleset, rulebook)
            found = check_contest(a_set, timetable, tunes, rulebook, line_up)
            problems = [each.text.removesuffix(CONFIRM).strip() for each in found]
            keys = dict.fromkeys(entry.tune_key for entry in a_set.entries)
            problems += [said for key in keys for said in cannot_play.get(key, ())]
            ready = SetReady(a_set.key, a_set.name, tuple(problems))
            entered.setdefault(rules.name, []).append(ready)
            rules_by_name[rules.name] = rules
    by_key = {a_set.key: a_set for a_set, _ in timed}
    return tuple(
        Submission(
            rules_by_name[name],
            tuple(sets),
            sets_together(rules_by_name[name], [by_key[each.key] for each in sets], tunes),
        )
        for name, sets in entered.items()
    )
