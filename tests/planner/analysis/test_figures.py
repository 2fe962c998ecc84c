from planner.analysis.beats import place_notes
from planner.analysis.figures import number_figures
from tests.builders import tune


def keys(music):
    return number_figures(place_notes(tune(music, length="1/16")))


def test_the_same_gesture_at_the_same_place_is_one_figure():
    found = keys("2/4 | {g}A4 {GdGe}A3B | {g}c4 e4 | {g}A4 {GdGe}A3B |]")
    assert found[0] == found[5]


def test_it_is_another_figure_when_it_leads_elsewhere():
    found = keys("2/4 | {g}A4 {GdGe}A4 | {g}A4 {g}A4 |]")
    assert found[0] != found[2]


def test_it_is_another_figure_on_another_beat():
    found = keys("2/4 | A4 A4 | A4 A4 |]")
    assert found[0] != found[1]
    assert found[0] == found[2]


def test_it_is_another_figure_with_other_gracenotes():
    found = keys("2/4 | {g}A4 e4 | {d}A4 e4 |]")
    assert found[0] != found[2]


def test_notes_of_one_beat_are_told_apart():
    found = keys("2/4 | A2A2 c4 |]")
    assert len(set(found)) == 3


def test_a_figure_may_cross_the_bar_line():
    found = keys("2/4 | e4 A4 | {gcd}c4 A4 | {gcd}c4 A4 | B8 |]")
    assert found[1] == found[3] != found[5]
