from dataclasses import replace

import pytest

from planner.marks.clash import (
    clash_ratio,
    clash_word,
    flam_probability,
    flam_threshold,
    joint_scatter,
    judge_clash,
)
from planner.rules.load import load_rulebook

BOOK = load_rulebook()


def standing(metres):
    """The rules where a listener is so many metres further from the pipes than from the drums."""
    key = "thresholds.clash.path_difference"
    return BOOK.with_own({key: replace(BOOK[key], value=metres)})


@pytest.mark.parametrize(
    ("ratio", "word"),
    [(0.0, "clean"), (0.49, "clean"), (0.5, "watch"), (0.8, "risk"), (0.99, "risk"), (1.0, "flam")],
)
def test_a_clash_has_its_word(ratio, word):
    assert clash_word(ratio, BOOK) == word


def test_a_listener_to_one_side_has_less_to_spare():
    # Sound takes 2.92 ms for a metre: four metres use up 11.7 of the 28 ms.
    assert flam_threshold(True, standing(4.0)) == pytest.approx(28 - 11.68)
    assert flam_threshold(False, standing(20.0)) == 5.0
    assert flam_threshold(False, standing(0.0)) == 23.0


def test_a_roll_forgives():
    assert clash_ratio(28.0, BOOK, is_in_roll=True) == pytest.approx(0.3)


@pytest.mark.parametrize("sigma", [5.0, 10.0, 20.0])
def test_a_flam_is_never_less_likely_for_a_larger_shift(sigma):
    late = [flam_probability(float(ms), sigma, BOOK) for ms in range(0, 60, 5)]
    assert late == sorted(late)
    assert 0.0 <= late[0] <= late[-1] <= 1.0


def test_two_scatters_add_as_squares():
    assert joint_scatter(10.0, BOOK) == pytest.approx(200**0.5)


def test_a_loose_band_does_not_blame_the_mark():
    clash = judge_clash(10.0, 10 / 28, True, 25.0, BOOK)
    assert clash.p_percent - clash.p_zero_percent < 10 < clash.p_zero_percent


def test_where_no_stroke_is_met_the_mark_changes_nothing():
    clash = judge_clash(30.0, 0.0, False, 10.0, BOOK)
    assert clash.p_percent == clash.p_zero_percent
