"""A time against its window, a set with nerves, and the numbers."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.errors import RequestError
from planner.event.contest.contest import (
    CONFIRM,
    Verdict,
    check_minimum,
    judge_set,
    judge_time,
)
from planner.event.contest.rulesets import ClockFrom, all_rulesets, find_ruleset
from planner.event.event import Entry, LineUp, Occasion, Set, Setting, Sort
from planner.event.timetable import SetTimetable, time_set
from planner.music.tempo import Metre
from planner.music.tune import outline
from planner.rules.load import load_rulebook

BOOK = load_rulebook()
MEDLEY = find_ruleset("rspba-2026-grade-2-medley", BOOK)


def medley(beats: int, bpm: float = 60) -> SetTimetable:
    tunes = {"long": outline("Long", Metre(2, 4), ((beats // 2, 1),))}
    one = Set("m", 1, "Medley", (Entry("long", tempo_bpm=bpm),), introduction_beats=0)
    return time_set(one, tunes, BOOK, Setting(Occasion.COMPETITION, Sort.MEDLEY))


@given(st.floats(0, 1000))
def test_a_time_is_ok_exactly_when_it_is_inside_the_window_ends_included(seconds):
    judged = judge_time(MEDLEY, seconds)
    assert (judged.verdict is Verdict.OK) == (240 <= seconds <= 360)
    assert (judged.verdict is Verdict.UNDER) == (seconds < 240)
    assert (judged.margin_seconds >= 0) == (judged.verdict is Verdict.OK)


def test_there_is_no_tolerance_not_even_a_millisecond():
    assert judge_time(MEDLEY, Fraction("360.001")).verdict is Verdict.OVER
    assert judge_time(MEDLEY, Fraction("239.999")).verdict is Verdict.UNDER


def test_the_margin_is_to_the_nearer_end():
    assert judge_time(MEDLEY, 250).margin_seconds == 10
    assert judge_time(MEDLEY, 345).margin_seconds == 15


def test_a_verdict_says_its_source_its_year_and_to_confirm():
    judged = judge_time(MEDLEY, 366)
    assert judged.text == "Over by 6 s: the window is 4:00 to 6:00."
    assert "10 Mar 2026" in judged.source
    assert judged.since == "2026"
    assert judged.confirm == CONFIRM == "Confirm with your own body's current rules."


def test_nerves_can_carry_a_set_out_of_the_window():
    # 352 s as planned; 3 % slower lasts 362.9 s, 3 % quicker 341.7 s.
    judged = judge_set(MEDLEY, medley(352), BOOK)
    assert judged.planned.verdict is Verdict.OK
    assert judged.slower.verdict is Verdict.OVER
    assert judged.slower.margin_seconds == pytest.approx(360 - 352 / 0.97)
    assert judged.quicker.margin_seconds == pytest.approx(360 - 352 / 1.03)


@pytest.mark.parametrize("rules", all_rulesets(BOOK), ids=lambda rules: rules.name)
def test_every_set_of_rules_is_found_again_and_says_who_when_and_what(rules):
    assert find_ruleset(rules.name, BOOK) == rules
    assert rules.source
    assert rules.since
    assert rules.requires or rules.minimum
    assert not rules.has_window or rules.shortest_s < rules.longest_s


def test_rules_with_a_minimum_name_it_in_every_element_of_the_grade():
    rules = find_ruleset("wuspba-2018-grade-4-march-strathspey-reel", BOOK)
    (finding,) = check_minimum(rules, LineUp())
    assert finding.code == "too_few_players"
    assert "0 on pipes where WUSPBA 2018 asks for 5 in grade 4" in finding.text
    assert finding.text.endswith(CONFIRM)


def test_rules_are_found_as_people_write_them():
    assert find_ruleset("RSPBA 2026 Grade 2 Medley", BOOK) == MEDLEY


@pytest.mark.parametrize("seconds", [-1, float("nan"), float("inf")])
def test_a_time_that_makes_no_sense_is_refused(seconds):
    with pytest.raises(RequestError, match=r"seconds: .*; give the time played in seconds"):
        judge_time(MEDLEY, seconds)


def test_rules_without_a_time_limit_cannot_judge_a_time():
    rules = find_ruleset("wuspba-2019-grade-5-marches", BOOK)
    with pytest.raises(RequestError, match="has no time limit on record; choose another"):
        judge_time(rules, 200)


def test_unknown_rules_are_answered_with_the_nearest_names():
    with pytest.raises(RequestError, match="choose rspba-2026-grade-2-medley or"):
        find_ruleset("rspba-2026-grade-2", BOOK)


def test_the_clock_runs_from_the_first_roll_or_where_the_rules_say_from_the_first_note():
    # 8 beats of rolls at 60 last 8 s; the tune 240 s. The clock is the band's own to set.
    tunes = {"long": outline("Long", Metre(2, 4), ((120, 1),))}
    one = Set("m", 1, "Medley", (Entry("long", tempo_bpm=60),), introduction_beats=8)
    timed = time_set(one, tunes, BOOK, Setting(Occasion.COMPETITION, Sort.MEDLEY))
    from_note = replace(MEDLEY, clock_from=ClockFrom.FIRST_NOTE)
    assert judge_set(MEDLEY, timed, BOOK).planned.margin_seconds == 8
    assert judge_set(from_note, timed, BOOK).planned.margin_seconds == 0
    assert judge_set(from_note, timed, BOOK).quicker.verdict is Verdict.UNDER


def test_the_bands_own_word_on_the_clock_holds_for_every_rule_set():
    rule = replace(BOOK["drill.contest.clock_from"], value="first note")
    own = BOOK.with_own({rule.key: rule})
    assert {rules.clock_from for rules in all_rulesets(own)} == {ClockFrom.FIRST_NOTE}
    odd = BOOK.with_own({rule.key: replace(rule, value="first drone")})
    with pytest.raises(RequestError, match="choose first roll or first note"):
        all_rulesets(odd)
