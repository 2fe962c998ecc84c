from dataclasses import replace

import pytest

from planner.marks.shift import early, late
from planner.marks.stage import Refusal
from tests.planner.marks.stages import BOOK, stage

THROW = "2/4 | {g}A4 c2e2 | {Gdc}d4 e4 |]"
TAORLUATH = "2/4 | {g}A4 {GdGe}A4 | e8 |]"


def refusal(outcome):
    assert isinstance(outcome, Refusal), outcome
    return outcome.why


def test_an_early_throw_takes_a_gracenote_from_the_note_before_the_bar_line():
    draft = early(stage(THROW), 3)
    assert (draft.ms, draft.moved, draft.meets) == (-35.0, 2, (3,))
    assert dict(draft.change.beat_index) == {3: 1}


def test_a_late_taorluath_gives_a_gracenote_to_the_note_before():
    draft = late(stage(TAORLUATH), 0)
    assert (draft.ms, draft.moved, draft.meets) == (35.0, 1, (1,))
    assert dict(draft.change.beat_index) == {1: -1}


@pytest.mark.parametrize("occasion", ["parade", "dance"])
def test_under_strict_drums_nothing_comes_early_or_late(occasion):
    assert "only where the layer across the bar" in refusal(early(stage(THROW, occasion), 3))
    assert "only where the layer across the bar" in refusal(late(stage(TAORLUATH, occasion), 0))


def test_the_first_beat_of_a_part_stands():
    opening = stage("2/4 | {Gdc}d4 e4 | A8 |]")
    assert refusal(early(opening, 0)) == "the first beat of a part stands"


def test_a_single_gracenote_stays_where_it_is():
    assert "no movement" in refusal(early(stage("2/4 | A4 {g}B4 |]"), 1))


def test_a_round_tune_keeps_every_movement_in_its_place():
    assert "round tune" in refusal(early(stage(THROW, "exhibition", idiom="hornpipe"), 3))


def test_the_note_before_must_keep_what_it_needs():
    # At 168 the semiquaver has 89 ms: below 100 it never pays.
    assert "cannot spare" in refusal(early(stage("2/4 | A3B {Gdc}d4 |]", tempo=168), 2))


def test_a_gracenote_longer_than_a_tenth_of_a_beat_stays():
    assert "tenth of a beat" in refusal(early(stage(THROW, tempo=180), 3))


def test_no_gracenote_crosses_by_more_than_the_drums_follow():
    rule = replace(BOOK["thresholds.gracenote.length"], value=45)
    slow_hands = BOOK.with_own({"thresholds.gracenote.length": rule})
    assert "the drums follow" in refusal(early(stage(THROW, rules=slow_hands), 3))
    assert early(stage(THROW, "exhibition", rules=slow_hands), 3).ms == -45.0


def test_where_the_drums_have_refused_the_movement_stays():
    refused = replace(stage(THROW), refused=frozenset({"p1b2e0n0"}))
    assert "refused" in refusal(early(refused, 3))


def test_what_comes_next_must_be_the_same_on_every_pass():
    endings = stage("2/4 |: e4 c4 | A4 {g}c4 |1 {GdG}A8 :|2 {GdG}B8 |]")
    assert refusal(late(endings, 3)) == "what comes next is not the same every time"


def test_the_last_note_of_a_repeated_part_has_no_one_next_note():
    again = stage("2/4 |: {GdGe}A4 c4 | A4 {g}c4 :|")
    assert refusal(late(again, 3)) == "what comes next is not the same every time"
