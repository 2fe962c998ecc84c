from dataclasses import replace

import pytest

from planner.marks.marks import Move
from planner.marks.played import play
from planner.marks.stage import Refusal
from planner.marks.tighten import tighten
from tests.planner.marks.stages import BOOK, stage

NEXT = "2/4 | {g}A4 {GdGe}A3B | c8 |]"


def refusal(outcome):
    assert isinstance(outcome, Refusal), outcome
    return outcome.why


def test_a_fifth_of_the_gracenotes_before_the_beat_goes_to_the_note_before():
    draft = tighten(stage(NEXT, "parade"), 0)
    # Three of the taorluath's gracenotes come before its beat: 0.2 x 35 x 3.
    assert draft.ms == pytest.approx(21.0)
    assert (draft.moved, draft.ioi_ms, draft.meets) == (1, 140.0, ())


def test_no_beat_point_moves_and_the_gain_is_heard_in_the_note():
    on_parade = stage(NEXT, "parade")
    before, after = (
        play(on_parade.analysis, *change) for change in ((), (tighten(on_parade, 0).change,))
    )
    assert [n.onset_ms for n in before] == [n.onset_ms for n in after]
    gain = after[0].sounding_length_ms - before[0].sounding_length_ms
    assert gain == pytest.approx(21.0)


def test_the_first_note_of_a_phrase_gains_from_its_own_movement():
    draft = tighten(stage("2/4 | A8 | c8 | {Gdc}d4 e4 |]", "parade"), 2)
    assert (draft.move, draft.moved, draft.index) == (Move.TIGHTEN, 2, 2)


def test_no_other_note_does():
    inside = stage("2/4 | A8 | {Gdc}d4 e4 |]", "parade")
    assert "heavy enough" in refusal(tighten(inside, 1))


def test_a_light_movement_gives_too_little():
    assert "heavy enough" in refusal(tighten(stage("2/4 | A4 {gd}c4 |]", "parade"), 0))


def test_massed_bands_do_not_tighten_either():
    assert "nothing within the beat" in refusal(tighten(stage(NEXT, "parade", sort="massed"), 0))


def test_tight_gracenotes_never_fall_below_25_ms():
    rule = replace(BOOK["thresholds.gracenote.tight"], value=0.6)
    very_tight = BOOK.with_own({"thresholds.gracenote.tight": rule})
    draft = tighten(stage(NEXT, "parade", rules=very_tight), 0)
    assert draft.change.gracenote_ms == {1: 25.0}
    assert draft.ms == pytest.approx(30.0)


def test_a_pick_up_is_never_tightened():
    repeated = stage("2/4 |: {GdGe}A2 | c4 e4 | c4 e2 :|", "parade")
    last = len(repeated.analysis.notes) - 1
    assert "heavy enough" in refusal(tighten(repeated, last))


def test_no_gain_is_more_than_a_tenth_of_a_beat():
    assert "tenth of a beat" in refusal(
        tighten(stage("2/4 | A8 {GdGe}A8 |]", "parade", tempo=290), 0)
    )
