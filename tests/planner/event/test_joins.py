"""Neighbours in a set: smooth or a seam, a lift or flat."""

from dataclasses import replace
from fractions import Fraction

import pytest

from planner.errors import RequestError
from planner.event.joins import Lift, Neighbour, Smoothness, judge_join, judge_joins, neighbour
from planner.music.scale import HIGH_A, LOW_A, LOW_G, E
from planner.music.tempo import Metre
from planner.music.tune import Bar, Note, Part, Tune
from planner.rules.load import load_rulebook

BOOK = load_rulebook()
FIRST = Neighbour("First", Metre(2, 4), 80, "A", LOW_A, LOW_A)


def joined(**changes):
    return judge_join(FIRST, replace(FIRST, title="Second", **changes), BOOK)


def test_a_tune_into_its_like_is_smooth_and_flat():
    join = joined()
    assert (join.smoothness, join.lift) == (Smoothness.SMOOTH, Lift.FLAT)
    assert [reason.text for reason in join.reasons] == [
        "the same tonal centre next door sounds flat"
    ]


@pytest.mark.parametrize("centre", ["D", "B minor"])
def test_a_to_d_and_a_to_b_minor_lift(centre):
    assert joined(tonal_centre=centre).lift is Lift.LIFT


def test_another_centre_is_neither_lift_nor_flat():
    assert joined(tonal_centre="G").lift is Lift.EVEN


def test_an_unknown_centre_is_not_called_flat():
    assert joined(tonal_centre="").lift is Lift.EVEN


def test_a_quicker_tempo_lifts_even_in_the_same_centre():
    join = joined(tempo_bpm=84)
    assert join.lift is Lift.LIFT
    assert join.tempo_change == pytest.approx(0.05)
    assert any("changes by 5 %" in reason.text for reason in join.reasons)


def test_a_small_change_of_tempo_is_workable_and_a_great_one_less_so():
    assert joined(tempo_bpm=81).smoothness is Smoothness.SMOOTH
    assert joined(tempo_bpm=84).smoothness is Smoothness.WORKABLE
    assert joined(tempo_bpm=120, metre=Metre(4, 4)).smoothness is Smoothness.DRILL


def test_march_into_jig_names_the_metre_and_the_beat():
    texts = [reason.text for reason in joined(metre=Metre(6, 8)).reasons]
    assert "2/4 goes into 6/8" in texts
    assert "the beat changes from crotchet to dotted crotchet" in texts


def test_a_wide_leap_is_a_seam():
    join = joined(first_note=HIGH_A)
    assert join.smoothness is Smoothness.WORKABLE
    assert any("low A to high A" in reason.text for reason in join.reasons)


def test_a_fifth_is_no_seam():
    assert joined(first_note=E).smoothness is Smoothness.SMOOTH


def test_every_reason_names_a_rule_of_the_book():
    for join in (joined(tempo_bpm=120, metre=Metre(6, 8), first_note=HIGH_A), joined()):
        assert join.reasons
        assert all(reason.rule in BOOK.quantities for reason in join.reasons)


def test_a_set_of_three_has_two_joins():
    assert len(judge_joins([FIRST, FIRST, FIRST], BOOK)) == 2
    assert judge_joins([FIRST], BOOK) == ()


def test_a_neighbour_shows_its_first_and_last_sounding_notes():
    rest = Note(None, Fraction(1))
    bar = Bar(1, Metre(2, 4), (rest, Note(LOW_G, Fraction(1)), Note(E, Fraction(1)), rest))
    tune = Tune("Rests", Metre(2, 4), (Part(1, (bar,)),))
    shown = neighbour(tune, 80, "A")
    assert (shown.first_note, shown.last_note) == (LOW_G, E)


def test_a_join_at_no_tempo_is_refused():
    with pytest.raises(RequestError, match="tempo: 0 is not above zero"):
        joined(tempo_bpm=0)


def test_a_join_keeps_what_meets_there_and_who_cues_it():
    join = judge_join(replace(FIRST, cue="the pipe-major's foot"), FIRST, BOOK)
    assert join.leaving.cue == "the pipe-major's foot"
    assert (join.leaving.last_note, join.coming.first_note) == (LOW_A, LOW_A)
