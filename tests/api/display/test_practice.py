import pytest

from api.display.paper.phrased_music import TunePictures, phrased_tune_view
from api.display.practice import practice_view
from planner.event.event import Control, Occasion, Setting, Sort
from planner.marks.rung_work import work_for_rung
from planner.plan import plan_tune
from tests.planner.marks.stages import BOOK, stage

STRATHSPEY = stage(
    "C | A3B B1c3 {gef}e3A {GdGe}A4 | A3B e4 {gef}e3A {GdGe}A4 |]", idiom="strathspey", tempo=112
).analysis
PLAIN = stage("2/4 | A4 e4 | A8 |]").analysis


def view(rung, analysis=STRATHSPEY):
    return practice_view(work_for_rung(rung, analysis, BOOK))


def test_rung_four_practises_the_marks_themselves():
    assert view(4) is None


def test_a_steady_beat_is_a_metronome_step_by_step():
    # Seven tenths of 112, then a tenth more at a time (design choice in practice.toml).
    assert [row[1] for row in view(1).rows] == ["78.4", "89.6", "100.8", "112"]
    assert view(1).rows[0][2] == "three times through"
    assert view(1).rows[-1][2] == "the tempo of the plan"


def test_pairs_that_are_alike_are_one_line_with_both_ratios_and_all_places():
    rows = {row[0]: row[1:] for row in view(2).rows}
    # Four to one is the strathspey's reference ratio: 535.7 ms a beat, a fifth of it is 107 ms.
    assert rows["Dotted low A and B"] == (
        "3 to 1",
        "4 to 1",
        "107 ms",
        "Part 1, bars 1 and 2, beat 1",
    )
    assert rows["Cut B and C"][3] == "Part 1, bar 1, beat 2"
    assert next(iter(rows)) != "Cut B and C", "the most frequent come first"


def test_a_short_note_is_taken_into_the_movement_after_it():
    assert view(3).rows == (("Low A", "taorluath on low A", "Part 1, bars 1 and 2, beat 3.75"),)


@pytest.mark.parametrize("rung", [2, 3])
def test_where_there_is_nothing_of_the_kind_that_is_said(rung):
    assert view(rung, PLAIN).rows == ()
    assert view(rung, PLAIN).none.startswith(("There is no", "No short note"))


@pytest.mark.parametrize(("rung", "is_there"), [(1, True), (2, True), (3, True), (4, False)])
def test_the_sheet_has_the_work_below_rung_four_and_only_there(rung, is_there):
    where = Setting(Occasion.PARADE, Sort.OWN_BAND, control=Control(rung))
    plan = plan_tune(STRATHSPEY.tune, where, BOOK, idiom="strathspey")
    assert (phrased_tune_view(plan, TunePictures()).practice is not None) == is_there
