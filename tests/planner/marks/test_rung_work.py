import pytest

from planner.marks.rung_work import metronome_plan, work_for_rung
from tests.planner.marks.stages import BOOK, stage

POINTED = stage(
    "C | A3B B<c {gef}e3A {GdGe}A4 | A16 |]".replace("B<c", "B1c3"),
    idiom="strathspey",
    tempo=112,
).analysis


def test_rung_four_has_no_work_of_its_own():
    assert work_for_rung(4, POINTED, BOOK) is None


def test_rung_one_goes_up_to_the_tempo_a_step_at_a_time():
    steps = work_for_rung(1, POINTED, BOOK).metronome
    assert steps[-1].tempo_bpm == 112
    assert [one.tempo_bpm for one in steps] == sorted(one.tempo_bpm for one in steps)
    assert {one.times for one in steps} == {3}


@pytest.mark.parametrize("tempo", [44.0, 80.0, 133.0])
def test_the_metronome_starts_at_seven_tenths(tempo):
    assert metronome_plan(tempo, BOOK)[0].tempo_bpm == pytest.approx(0.7 * tempo, abs=0.06)


def test_rung_two_lists_dots_and_cuts_with_the_ratio_the_idiom_wants():
    pairs = work_for_rung(2, POINTED, BOOK).pairs
    assert [(pair.place.note, pair.is_cut) for pair in pairs] == [
        ("low A", False), ("B", True), ("E", False),
    ]  # fmt: skip
    assert pairs[0].written_ratio == 3.0
    assert pairs[0].wanted_ratio == pytest.approx(4.0)


def test_rung_three_joins_a_short_note_to_the_movement_after_it():
    (join,) = work_for_rung(3, POINTED, BOOK).joins
    assert (join.place.note, join.movement, join.into.note) == ("low A", "taorluath", "low A")
