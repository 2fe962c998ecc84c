"""Two bars worked out by hand: a hold that pays well, and one that pays badly."""

import pytest

from planner.analysis.analyse import analyse
from planner.event.event import Control, Drums, Occasion, Setting, Sort
from planner.licence.grant import grant_licence
from planner.marks.anchors import Anchors
from planner.marks.audibility import judge_audibility
from planner.marks.clash import clash_ratio, clash_word, flam_probability
from planner.marks.describe import make_mark
from planner.marks.lengthen import hold
from planner.marks.marks import Verdict
from planner.marks.played import Change, play
from planner.marks.stage import Stage, judged
from planner.rules.load import load_rulebook
from tests.builders import tune

BOOK = load_rulebook()
FOUR_QUAVERS = "2/4 | A2 B2 c2 d2 |]"
HELD_MS = 24.0


def stage_at_80() -> Stage:
    analysis = analyse(tune(FOUR_QUAVERS, tempo=80, length="1/16"), "march", tune_tempo(), BOOK)
    setting = Setting(Occasion.PARADE, Sort.OWN_BAND, Drums.FULL, Control(4))
    licence = grant_licence(setting, "march", BOOK)
    return Stage(analysis, licence, Anchors(Drums.FULL), BOOK)


def tune_tempo():
    return tune(FOUR_QUAVERS, tempo=80).tempo


def test_the_quavers_last_375_ms_as_written():
    assert stage_at_80().analysis.written.length_ms == (375.0, 375.0, 375.0, 375.0)


def test_the_note_after_the_held_one_pays_and_nothing_else_moves():
    stage = stage_at_80()
    draft = hold(stage, 0, HELD_MS)
    played = play(stage.analysis, draft.change)
    assert [note.onset_ms for note in played] == [0.0, 399.0, 750.0, 1125.0]
    assert [note.sounding_length_ms for note in played] == [399.0, 351.0, 375.0, 375.0]


def test_such_a_hold_is_heard_and_no_drummer_meets_it():
    stage = stage_at_80()
    proposal = judged(stage, hold(stage, 0, HELD_MS))
    mark = make_mark(stage, proposal)
    assert mark.audibility.lab_ratio == pytest.approx(2.56)
    assert mark.audibility.ratio == pytest.approx(24 / (20 * 1.10))
    assert mark.audibility.word == "heard"
    assert mark.beat_fraction == pytest.approx(0.032)
    assert (mark.clash.ratio, mark.clash.word, mark.drums) == (0.0, "clean", Verdict.STRICT)


def test_if_all_that_follow_paid_the_second_beat_would_come_late():
    stage = stage_at_80()
    change = Change(onset_ms={1: 24.0, 2: 16.0, 3: 8.0})
    played = play(stage.analysis, change)
    late = [note.onset_ms - note.written_onset_ms for note in played]
    assert late == [0.0, 24.0, 16.0, 8.0]
    assert played[-1].onset_ms + played[-1].sounding_length_ms == 1500.0


def test_and_the_drums_on_that_beat_would_be_heard_apart_more_often():
    ratio = clash_ratio(16.0, BOOK)
    assert ratio == pytest.approx(16 / 28)
    assert clash_word(ratio, BOOK) == "watch"
    assert 100 * flam_probability(16.0, 10.0, BOOK) == pytest.approx(11.5, abs=0.05)


def test_no_plan_ever_moves_that_beat_to_pay_for_a_hold():
    stage = stage_at_80()
    assert hold(stage, 0, 500.0).change.onset_ms.keys() == {1}


def test_a_cadence_hides_a_lengthening_and_shows_a_shortening():
    ratios = [judge_audibility(24.0, 375.0, True, longer, BOOK).ratio for longer in (True, False)]
    assert ratios == pytest.approx([24 / (22 * 1.5), 24 * 1.5 / 22])
