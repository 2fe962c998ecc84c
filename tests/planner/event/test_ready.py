"""Every set that is submitted is ready, whichever is drawn; or it is said what is missing."""

from planner.event.event import Entry, LineUp, Occasion, Set, Setting, Sort
from planner.event.ready import Submission, submissions
from planner.event.timetable import time_set
from planner.music.tempo import Metre
from planner.music.tune import outline
from planner.rules.load import load_rulebook

BOOK = load_rulebook()
AT = Setting(Occasion.COMPETITION, Sort.MEDLEY)
TUNES = {str(s): outline(f"Tune {s}", Metre(2, 4), ((s // 2, 1),)) for s in (200, 300, 360)}
GRADE_1 = "rspba-2026-grade-1-medley"  # two medleys of 5 to 7 minutes: pipes|drums, 10 Mar 2026


def submitted(*seconds: int, rules: str = GRADE_1, cannot_play=None) -> tuple[Submission, ...]:
    sets = [
        Set(str(at), at, f"Set {at}", (Entry(str(each), 60),), introduction_beats=0, ruleset=rules)
        for at, each in enumerate(seconds, start=1)
    ]
    timed = [(each, time_set(each, TUNES, BOOK, AT)) for each in sets]
    return submissions(timed, TUNES, LineUp(), BOOK, cannot_play or {})


def test_both_are_ready_when_both_fit_also_with_nerves():
    (both,) = submitted(360, 360)
    assert both.is_ready
    assert both.text == "Both sets are ready, whichever is drawn at the line."


def test_one_alone_is_not_ready_however_good():
    (one,) = submitted(360)
    assert (one.is_ready, one.text) == (False, "1 of 2 sets are entered.")
    assert one.sets[0].is_ready


def test_one_too_many_is_not_ready_either():
    (three,) = submitted(360, 360, 360)
    assert (three.is_ready, three.text) == (False, "3 sets are entered where 2 are asked for.")
    (two,) = submitted(300, 300, rules="rspba-2026-grade-2-medley")
    assert two.text == "2 sets are entered where one is asked for."


def test_a_set_that_does_not_fit_or_only_just_is_named_with_what_is_missing():
    (both,) = submitted(360, 200)
    assert (both.is_ready, both.text) == (False, "Not ready: Set 2.")
    assert both.sets[1].problems == (
        "3:20 as planned, under by 100 s: the window is 5:00 to 7:00.",
    )
    (narrow,) = submitted(360, 300)
    assert "and with nerves under" in narrow.sets[1].problems[0]


def test_a_tune_somebody_has_not_learnt_keeps_a_set_back():
    said = {"300": ["Tam is asked for it."]}
    (both,) = submitted(360, 300, cannot_play=said)
    assert both.sets[0].is_ready
    assert both.sets[1].problems[-1] == "Tam is asked for it."


def test_sets_under_other_rules_or_none_are_apart():
    assert submitted(360, 360, rules="") == ()
    (one,) = submitted(300, rules="rspba-2026-grade-2-medley")
    assert (one.is_ready, one.text) == (True, "The set is ready.")
