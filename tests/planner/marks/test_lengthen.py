from dataclasses import replace
from fractions import Fraction

import pytest

from planner.marks.lengthen import hold, lean
from planner.marks.stage import Refusal, judge
from planner.music.drums import DrumBar, DrumScore, DrumVoice
from tests.builders import tune
from tests.planner.marks.stages import BOOK, stage

PAIR = "2/4 | A3B {g}c4 | A8 |]"
CROTCHETS = "2/4 | {g}A4 c2e2 | {g}A4 e4 |]"


def refusal(outcome):
    assert isinstance(outcome, Refusal), outcome
    return outcome.why


def struck_at(*crotchets):
    bar = DrumBar(strokes=tuple(map(Fraction, crotchets)))
    return DrumScore({DrumVoice.SNARE: {(1, 1, 0): bar}})


def test_on_parade_a_hold_is_felt_and_not_noticed():
    on_parade = stage(PAIR, "parade")
    proposal = judge(on_parade, hold(on_parade, 0))
    # 592 ms: max(1.2 x 14.8, 2 x 10) = 20, and noticed only from 29.6 x 1.1.
    assert proposal.draft.ms == pytest.approx(20.0)
    assert proposal.audibility.word == "felt, not noticed"


def test_at_a_competition_a_hold_is_noticed():
    at_competition = stage(PAIR)
    proposal = judge(at_competition, hold(at_competition, 0))
    assert proposal.draft.ms == pytest.approx(1.2 * 0.05 * 592.105 * 1.10, abs=0.01)
    assert proposal.audibility.word == "heard"


@pytest.mark.parametrize(("occasion", "counted"), [("parade", 1.0), ("competition", 1.2)])
def test_the_loosest_band_does_not_pulse_most(occasion, counted):
    short = "2/4 | A2 B2 c4 |]"
    sizes = [hold(stage(short, occasion, sigma_ms=sigma), 0).ms for sigma in (13.0, 20.0)]
    assert sizes[0] == sizes[1] <= counted * 26.0 + 1e-9


def test_what_would_be_lost_in_the_scatter_is_no_hold():
    assert "scatter" in refusal(hold(stage(PAIR, "parade", sigma_ms=40.0), 0))


def test_a_note_that_fills_its_beat_cannot_be_held():
    assert "same beat" in refusal(hold(stage(CROTCHETS), 0))


def test_a_longer_note_does_not_pay_for_a_shorter():
    assert "same beat" in refusal(hold(stage("2/4 | A B3 c4 |]"), 0))


def test_a_hold_stops_at_a_stroke_where_the_drums_are_strict():
    three_and_one = Fraction(3, 4)
    strict = stage(PAIR, "parade", score=struck_at(0, three_and_one, 1))
    assert "a drum strikes" in refusal(hold(strict, 0))


def test_the_same_hold_asks_the_drums_where_they_follow():
    follows = stage(PAIR, score=struck_at(0, Fraction(3, 4), 1))
    assert hold(follows, 0).meets == (1,)


def test_where_the_drums_refuse_a_hold_keeps_to_half_of_what_is_heard_apart():
    asked = stage(PAIR, score=struck_at(0, Fraction(3, 4), 1))
    refused = replace(asked, refused=frozenset({"p1b1e0n1"}))
    assert hold(refused, 0).ms == 14.0


def test_inside_a_roll_a_hold_keeps_to_four_fifths_of_what_is_heard_apart():
    rolled = DrumScore({DrumVoice.SNARE: {(1, 1, 0): DrumBar(rolls=((Fraction(0), Fraction(1)),))}})
    draft = hold(stage(PAIR, "parade", score=rolled), 0, 40.0)
    assert (draft.ms, draft.meets, draft.in_roll) == (pytest.approx(0.8 * 28), (), True)


def test_a_roll_of_the_snares_does_not_hide_a_stroke_of_the_bass():
    rolled = DrumBar(rolls=((Fraction(0), Fraction(1)),))
    both = DrumScore(
        {
            DrumVoice.SNARE: {(1, 1, 0): rolled},
            DrumVoice.BASS: {(1, 1, 0): DrumBar(strokes=(Fraction(3, 4),))},
        }
    )
    assert "a drum strikes" in refusal(hold(stage(PAIR, "parade", score=both), 0))


def test_a_payer_keeps_what_its_gracenotes_need():
    # The B has 197 ms; the taorluath after it takes 3 x 35 of them, and 60 it keeps.
    tight = stage("2/4 | A3B {GdGe}A4 |]", "exhibition")
    assert hold(tight, 0).ms == pytest.approx(197.37 - 105 - 60, abs=0.01)


def test_a_note_of_less_than_a_tenth_of_a_second_never_pays():
    quick = stage(tune("2/4 | A3B c4 |]", tempo=152, length="1/16"))
    assert refusal(hold(quick, 0)) == "the note after it cannot spare anything"


def test_when_the_first_payer_runs_out_the_next_one_helps():
    helped = stage("2/4 | A2B{GdG}c d4 |]", "exhibition", tempo=60)
    draft = hold(helped, 0)
    # B has 250 ms before the grip: 60 + 3 x 35 it keeps, 85 it can give.
    assert list(draft.change.onset_ms) == [1]
    more = hold(helped, 0, 95.0)
    assert more.change.onset_ms == {1: 95.0, 2: pytest.approx(10.0)}


def test_a_round_tune_keeps_even_notes_even():
    even = stage("6/8 | A2B2c2 d6 |]", "exhibition", idiom="jig", tempo=110)
    assert refusal(hold(even, 0)) == "a round tune keeps even notes even"


def test_a_round_tune_lets_only_shorter_notes_pay():
    mixed = stage("6/8 | A2B{GdG}c d2 e6 |]", "exhibition", idiom="jig", tempo=60)
    # The B gives 2 ms and the C 107: the D is as long as the A and keeps what it has.
    assert set(hold(mixed, 0, 99.0).change.onset_ms) == {1, 2}
    assert hold(mixed, 0, 999.0).change.onset_ms.keys() == {1, 2}


def test_a_lean_lets_the_next_beat_start_late_and_the_bar_line_stands():
    free = stage(CROTCHETS, "exhibition")
    draft = lean(free, 0)
    assert draft.ms == pytest.approx(1.4 * 0.05 * 789.47 * 1.10, abs=0.01)
    assert list(draft.change.onset_ms) == [1]
    assert draft.meets == (1,)


def test_no_lean_goes_beyond_a_tenth_of_a_beat():
    assert lean(stage(CROTCHETS, "exhibition"), 0, 500.0).ms == pytest.approx(78.95, abs=0.01)


def test_by_agreement_the_drums_follow_forty_ms_at_most():
    assert lean(stage(CROTCHETS), 0, 500.0).ms == 40.0


@pytest.mark.parametrize(
    ("index", "where", "why"),
    [
        (0, {"occasion": "parade"}, "nothing across the bar"),
        (1, {}, "only a note that fills its beat"),
        (4, {}, "the bar line stands"),
        (3, {"occasion": "dance", "drums": "none"}, "beat 1 of a line only"),
        (0, {"occasion": "exhibition", "idiom": "hornpipe"}, "a round tune keeps every beat"),
    ],
)
def test_a_lean_is_refused_with_its_reason(index, where, why):
    assert why in refusal(lean(stage(CROTCHETS, **where), index))


def test_a_band_may_set_its_own_limit():
    rule = replace(BOOK["thresholds.limit.agreed"], value=30)
    own = BOOK.with_own({"thresholds.limit.agreed": rule})
    assert lean(stage(CROTCHETS, rules=own), 0, 500.0).ms == 30.0
