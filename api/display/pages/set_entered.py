"""What does a set's own page say of the contest it is entered at, or the dance it is played for?

The same answers as at an event, before anybody is asked to come: window and margins at every tempo,
what is not as asked, how long the dance is and what does not suit it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from api.display.pages.event_sums import VERDICT_WORDS, clock_words
from api.display.words import length_words, sentence, sentence_start
from planner.errors import RequestError
from planner.event.amounts import plain
from planner.event.contest.contest import CONFIRM, TimeVerdict, judge_set, on_the_clock
from planner.event.contest.rulesets import RuleSet, find_ruleset
from planner.event.dancing.checks import check_dance
from planner.event.event import Event, Occasion, Set
from planner.event.programme import check_programme
from planner.event.sums import Music, dance_sums
from planner.event.timetable import EventTimetable, SetTimetable, lengths_with_nerves
from planner.music.tune import Tune
from planner.rules.rulebook import RuleBook

CONFIRM_DANCE = "Confirm with the dancers or their teacher."


def entered_words(
    a_set: Set, timetable: SetTimetable | None, tunes: Mapping[str, Tune], book: RuleBook
) -> tuple[str, ...]:
    """Window, margins and what is not as asked, one sentence a line; nothing for any other set."""
    if timetable is None or not timetable.stretches or not (a_set.ruleset or a_set.dance):
        return ()
    try:
        said = [
            *(_contest(a_set, timetable, tunes, book) if a_set.ruleset else ()),
            *(_dance(a_set, timetable, tunes, book) if a_set.dance else ()),
        ]
    except RequestError as error:
        said = [str(error)]
    return tuple(sentence(sentence_start(each)) for each in said)


def contest_lines(
    event: Event, timetable: EventTimetable, sets: Mapping[str, Set], book: RuleBook
) -> tuple[str, ...]:
    """Each set of a competition against its rules, a sentence each; nothing anywhere else."""
    if event.setting.occasion is not Occasion.COMPETITION:
        return ()
    timed = {slot.item.set_key: slot.timetable for slot in timetable.slots if slot.timetable}
    entered = [(sets[key], each) for key, each in timed.items() if sets[key].ruleset]
    said = tuple(_one_line(a_set, each, book) for a_set, each in entered)
    return (*said, CONFIRM) if said else ()


def _one_line(a_set: Set, timetable: SetTimetable, book: RuleBook) -> str:
    rules = find_ruleset(a_set.ruleset, book)
    words = f"Set {a_set.number}, {rules.whose}: {rules.window_words}"
    if rules.has_window and not timetable.is_open_ended:
        words += f"; {_margins(rules, timetable, book)}"
    return sentence(words)


def _contest(
    a_set: Set, timetable: SetTimetable, tunes: Mapping[str, Tune], book: RuleBook
) -> Iterator[str]:
    rules = find_ruleset(a_set.ruleset, book)
    asked = f" {sentence(sentence_start(rules.requires))}" if rules.requires else ""
    yield f"{rules.whose}: {rules.window_words}.{asked} {clock_words(rules)}"
    if rules.has_window and not timetable.is_open_ended:
        yield _margins(rules, timetable, book)
    for found in check_programme(rules, a_set, tunes):
        yield found.text.removesuffix(CONFIRM).strip()
    yield CONFIRM


def _margins(rules: RuleSet, timetable: SetTimetable, book: RuleBook) -> str:
    lengths = lengths_with_nerves(on_the_clock(rules, timetable), book)
    judged = judge_set(rules, timetable, book)
    share = plain(round(100 * book.number("drill.tempo.nerves"), 1))
    named = (
        ("as planned", lengths.planned, judged.planned),
        (f"{share} % slower", lengths.slower, judged.slower),
        (f"{share} % quicker", lengths.quicker, judged.quicker),
    )
    return "; ".join(
        f"{words} {length_words(float(length))}, {_margin(verdict)}"
        for words, length, verdict in named
    )


def _margin(verdict: TimeVerdict) -> str:
    word = VERDICT_WORDS[verdict.verdict.value]
    return f"{word} by {abs(verdict.margin_seconds):.1f} s"


def _dance(
    a_set: Set, timetable: SetTimetable, tunes: Mapping[str, Tune], book: RuleBook
) -> Iterator[str]:
    sums = dance_sums(a_set, Music({a_set.key: a_set}, tunes, {}), book)
    if sums is not None and sums.length is not None:
        steps, length = sums.said, sums.length
        yield (
            f"{sums.dance.title}, {steps} steps: {length.bars} bars, "
            f"{length_words(length.seconds)} ({length.seconds:.1f} s)"
        )
    elif sums is not None:
        yield f"{sums.dance.title}: {sums.problem}"
    for found in check_dance(a_set, timetable, tunes, book):
        yield found.text
    yield CONFIRM_DANCE
