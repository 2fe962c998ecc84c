import pytest

from planner.marks.played import Change, play
from planner.marks.strain import Strain, beat_scatter, strain_findings, strain_of
from tests.planner.marks.stages import BOOK, stage

EVEN = stage("2/4 | A2B2 c2d2 | e4 c4 | A8 |]", tempo=60).analysis


def strain(change):
    return strain_of(EVEN, play(EVEN), play(EVEN, change))


def test_without_marks_nothing_is_strained():
    assert strain(Change()) == Strain(0.0)


def test_a_hold_between_the_beats_bends_two_notes_and_no_beat():
    held = strain(Change(onset_ms={1: 30.0}))
    assert held.share_off_written == pytest.approx(2 / 7)
    assert held.worst_bar is None


def test_a_late_beat_in_a_bar_of_three_scatters_its_beats():
    waltz = stage("3/4 | A4 c4 e4 |]", tempo=60).analysis
    scatter = beat_scatter(waltz, play(waltz, Change(onset_ms={1: 30.0})))
    # Beats of 1030, 970 and 1000 ms: a standard deviation of the square root of 600, 24.5 ms.
    assert scatter == {(1, 1, 0): pytest.approx(2.4495, abs=0.0001)}


def test_a_late_beat_in_a_bar_of_two_scatters_its_beats():
    leaned = strain(Change(onset_ms={5: 30.0}))
    # The second bar's beats last 1030 and 970 ms: a standard deviation of 30 ms, 3 % of a beat.
    assert (leaned.worst_bar, leaned.worst_bar_percent) == ((1, 2, 0), pytest.approx(3.0))


def test_a_breath_makes_the_last_beat_longer_than_the_others():
    change = Change(growth_ms={1: 60.0})
    breathed = strain_of(EVEN, play(EVEN), play(EVEN, change), change)
    # Beats of 1000 and 1060 ms: a standard deviation of 30 ms.
    assert (breathed.worst_bar, breathed.worst_bar_percent) == ((1, 2, 0), pytest.approx(3.0))


def test_too_many_bent_notes_and_too_loose_beats_are_told():
    wild = Strain(0.9, (((1, 1, 0), 9.0), ((2, 3, 0), 8.0)))
    found = strain_findings(wild, {(2, 3, 0)}, BOOK)
    assert [finding.code for finding in found] == ["over_marked", "tempo_unsteady"]
    assert (
        found[0].text
        == "90% of the notes are off their written length; more than 50% sounds out of hand"
    )
    assert "8.0 % of a beat; beyond 2.5 %" in found[1].text
    assert found[1].where == "part 2, bar 3"


def test_a_plain_plan_is_told_nothing_and_nor_is_what_the_planner_chose():
    assert strain_findings(Strain(0.1, (((1, 1, 0), 1.0),)), {(1, 1, 0)}, BOOK) == []
    assert strain_findings(Strain(0.9, (((1, 1, 0), 9.0),)), set(), BOOK) == []
