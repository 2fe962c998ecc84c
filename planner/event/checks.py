"""What would go wrong on the day: mixed metres, a tune twice, times that do not fit?

Each check answers with findings of one sentence; none stops the walk. Amounts that cannot be
reckoned with at all are refused where they are used, in the sums. What goes wrong on the street is
said in ``street_checks.py``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import time
from itertools import pairwise

from planner.event.altered import link_tune
from planner.event.altered_checks import check_altered
from planner.event.amounts import lower_start, minutes_and_seconds
from planner.event.contest.contest import (
    SetVerdict,
    Verdict,
    check_minimum,
    judge_set,
    on_the_clock,
)
from planner.event.contest.rulesets import find_ruleset
from planner.event.dancing.checks import check_dance
from planner.event.event import Entry, Event, LineUp, Occasion, Set, Setting, Sort
from planner.event.played_parts import as_played
from planner.event.programme import check_programme, check_submitted
from planner.event.street.checks import check_street
from planner.event.timetable import EventTimetable, SetTimetable, Slot, time_event
from planner.findings import Finding, Gravity
from planner.music.tune import Part, Tune
from planner.rules.rulebook import RuleBook

HALF_A_DAY_S = 12 * 3600
"""How far may two times lie apart before they are of two days? A band is not out for longer."""

OPEN = "it cannot be held against a window until its times through are fixed."


def check_event(
    event: Event,
    sets: Mapping[str, Set],
    tunes: Mapping[str, Tune],
    rulebook: RuleBook,
    line_up: LineUp | None = None,
    standard_settings: Mapping[str, str] | None = None,
) -> tuple[Finding, ...]:
    """Everything a pipe-major should know about an event before it is printed.

    ``standard_settings`` say by tune key which setting and drum score all bands know; None where
    nobody has been asked.

    Raises:
        RequestError: a set or tune is missing, or an amount cannot be reckoned with.
    """
    timetable = time_event(event, sets, tunes, rulebook)
    chosen = [sets[item.set_key] for item in event.items if item.set_key]
    findings = [*check_clock(event), *check_slots(event, timetable)]
    findings += check_tunes_once(event, chosen, tunes)
    for a_set in dict.fromkeys(chosen):
        findings += check_metres(a_set, tunes, event.setting)
        findings += check_altered(a_set, tunes)
    timed = {slot.timetable.key: slot.timetable for slot in timetable.slots if slot.timetable}
    for a_set in dict.fromkeys(chosen):
        findings += check_dance(a_set, timed[a_set.key], tunes, rulebook)
    if event.setting.occasion is Occasion.COMPETITION:
        for a_set in dict.fromkeys(chosen):
            findings += check_contest(a_set, timed[a_set.key], tunes, rulebook, line_up)
        findings += _submitted(dict.fromkeys(chosen), tunes, rulebook)
    if standard_settings is not None:
        for a_set in dict.fromkeys(chosen):
            findings += check_standard(a_set, tunes, standard_settings, event.setting)
    findings += check_street(event, timetable, sets, tunes, rulebook)
    return tuple(findings)


def check_metres(a_set: Set, tunes: Mapping[str, Tune], setting: Setting) -> Iterator[Finding]:
    """A massed set or a long column keeps one time signature: anything else is refused."""
    is_together = setting.occasion is Occasion.PARADE and setting.sort in (
        Sort.MASSED,
        Sort.LONG_COLUMN,
    )
    metres = {
        (bar.metre.count, bar.metre.unit): str(bar.metre)
        for entry in a_set.entries
        for part in (
            *as_played(entry, tunes[entry.tune_key]).parts,
            *_link_parts(entry, tunes[entry.tune_key]),
        )
        for bar in part.bars
    }
    if is_together and len(metres) > 1:
        text = (
            "massed bands and long columns keep one time signature a set: here are "
            f"{_and(metres.values())}."
        )
        yield Finding("mixed_metres", text, a_set.name, Gravity.REFUSE)


def _link_parts(entry: Entry, tune: Tune) -> tuple[Part, ...]:
    link = link_tune(entry, tune)
    return link.parts if link else ()


def check_standard(
    a_set: Set, tunes: Mapping[str, Tune], noted: Mapping[str, str], setting: Setting
) -> Iterator[Finding]:
    """Massed bands play standard settings and scores (common practice): is each one noted?"""
    if setting.occasion is not Occasion.PARADE or setting.sort is not Sort.MASSED:
        return
    keys = dict.fromkeys(entry.tune_key for entry in a_set.entries)
    unnoted = [tunes[key].title for key in keys if not noted.get(key, "").strip()]
    if unnoted:
        text = (
            "massed bands play the setting and the drum score that every band knows: none is noted "
            f"for {_and(unnoted)}."
        )
        yield Finding("no_standard_setting", text, a_set.name)


def check_tunes_once(
    event: Event, chosen: list[Set], tunes: Mapping[str, Tune]
) -> Iterator[Finding]:
    """No tune twice: at a concert in the whole programme, elsewhere within a set.

    Dances are left alone: the first tune of a country dance comes back as the last.
    """
    if event.setting.occasion is Occasion.DANCE:
        return
    if event.setting.occasion is Occasion.EXHIBITION:
        keys = [entry.tune_key for a_set in chosen for entry in a_set.entries]
        yield from _twice(keys, tunes, event.name)
        return
    for a_set in dict.fromkeys(chosen):
        yield from _twice([entry.tune_key for entry in a_set.entries], tunes, a_set.name)


def check_clock(event: Event) -> Iterator[Finding]:
    """Meet, tune-up, step-off and end are all there and in this order."""
    times = {
        "meet": event.clock.meet,
        "tune-up": event.clock.tune_up,
        "step-off": event.clock.step_off,
        "end": event.clock.end,
    }
    missing = [name for name, when in times.items() if when is None]
    if missing:
        yield Finding("missing_times", f"no time is set for {_and(missing)}.", event.name)
    known = [(name, when) for name, when in times.items() if when is not None]
    for (first, before), (second, after) in pairwise(known):
        if is_earlier(after, before):
            text = f"{first} at {before:%H:%M} comes after {second} at {after:%H:%M}."
            yield Finding("times_out_of_order", text, event.name)


def check_slots(event: Event, timetable: EventTimetable) -> Iterator[Finding]:
    """Items have a length, do not run into one another, and are over by the end."""
    for slot in timetable.slots:
        if not slot.length:
            yield Finding("no_length", f"{slot.name or 'an item'} has no length.", event.name)
    for before, after in pairwise(timetable.slots):
        yield from _overlap(before, after)
    last, end = timetable.end, event.clock.end
    if last is not None and end is not None and is_earlier(end, last):
        text = f"the running order lasts until {last:%H:%M:%S}, the event ends at {end:%H:%M}."
        yield Finding("over_the_end", text, event.name)


def check_contest(
    a_set: Set,
    timetable: SetTimetable,
    tunes: Mapping[str, Tune],
    rulebook: RuleBook,
    line_up: LineUp | None = None,
) -> Iterator[Finding]:
    """The set against its rules: its time, also with nerves, its tunes, the number of players."""
    if not a_set.ruleset:
        return
    rules = find_ruleset(a_set.ruleset, rulebook)
    if rules.has_window:
        yield from _window(judge_set(rules, timetable, rulebook), on_the_clock(rules, timetable))
    yield from check_programme(rules, a_set, tunes)
    if line_up is not None:
        yield from check_minimum(rules, line_up)


def _submitted(
    chosen: Iterable[Set], tunes: Mapping[str, Tune], rulebook: RuleBook
) -> Iterator[Finding]:
    entered = (each for each in chosen if each.ruleset)
    ruled = ((find_ruleset(each.ruleset, rulebook), each) for each in entered)
    return check_submitted(ruled, tunes)


def _window(judged: SetVerdict, timetable: SetTimetable) -> Iterator[Finding]:
    played = f"{minutes_and_seconds(timetable.length())} as planned"
    if timetable.is_open_ended:
        text = f"it lasts until the cue, at least {minutes_and_seconds(timetable.length())}: {OPEN}"
        yield Finding("no_length_to_judge", text, timetable.name)
        return
    worse = min(judged.slower, judged.quicker, key=lambda each: each.margin_seconds)
    if judged.planned.verdict is not Verdict.OK:
        text = f"{played}, {lower_start(judged.planned.text)} {judged.planned.confirm}"
        yield Finding("outside_the_window", text, timetable.name)
    elif worse.verdict is not Verdict.OK:
        text = f"{played}, and with nerves {lower_start(worse.text)} {worse.confirm}"
        yield Finding("narrow_margin", text, timetable.name)


def _overlap(before: Slot, after: Slot) -> Iterator[Finding]:
    if before.end is None or after.start is None or not is_earlier(after.start, before.end):
        return
    text = f"{before.name} lasts until {before.end:%H:%M:%S}, {after.name} starts before, at"
    yield Finding("overlap", f"{text} {after.start:%H:%M:%S}.", after.name)


def is_earlier(one: time, other: time) -> bool:
    """True when one time is before another; more than half a day before is the next day's."""
    gap = _seconds(other) - _seconds(one)
    return 0 < gap < HALF_A_DAY_S


def _seconds(clock: time) -> float:
    return clock.hour * 3600 + clock.minute * 60 + clock.second + clock.microsecond / 1_000_000


def _twice(keys: Sequence[str], tunes: Mapping[str, Tune], where: str) -> Iterator[Finding]:
    for key, times in Counter(keys).items():
        if times > 1:
            yield Finding("tune_twice", f"{tunes[key].title} is down {times} times.", where)


def _and(words: Iterable[str]) -> str:
    *most, last = words
    return f"{', '.join(most)} and {last}" if most else last
