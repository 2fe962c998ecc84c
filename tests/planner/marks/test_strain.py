import pytest

from planner.marks.played import Change, play
from planner.marks.strain import Strain, beat_scatter, strain_findings, strain_of
from tests.planner.marks.stages import BOOK, stage

EVEN = stage("2/4 | A2B2 c2d2 | e4 c4 | A8 |]", tempo=60).analysis


def strain(change):
    return strain_of(EVEN, play(EVEN), play(EVEN, change))


def test_without_marks_nothing_is_strained():
    assert strain(Change()) == Strain(0.0, 0.0, None)


def test_a_hold_between_the_beats_bends_two_notes_and_no_beat():
    held = strain(Change(onset_ms={1: 30.0}))
    assert held.share_off_written == pytest.approx(2 / 7)
    assert held.worst_bar is None


def test_a_late_beat_in_a_bar_of_three_scatters_its_beats():
    waltz = stage("3/4 | A4 c4 e4 |]", tempo=60).analysis
    scatter = beat_scatter(waltz, play(waltz, Change(onset_ms={1: 30.0})))
    # Beats of 1030 and 970 ms around 1000: a standard deviation of 30 ms.
    assert scatter == {(1, 1, 0): pytest.approx(3.0)}


def test_too_many_bent_notes_and_too_loose_beats_are_told():
    wild = Strain(share_off_written=0.9, worst_bar_percent=8.0, worst_bar=(2, 3, 0))
    found = strain_findings(wild, BOOK)
    assert [finding.code for finding in found] == ["over_marked", "tempo_unsteady"]
    assert found[1].where == "part 2, bar 3"


def test_a_plain_plan_is_told_nothing():
    assert strain_findings(Strain(0.1, 1.0, (1, 1, 0)), BOOK) == []
