import math

import pytest

from planner.analysis.analyse import analyse
from planner.analysis.salience import drone_accent, duration_accent, melodic_accents
from planner.rules.load import load_rulebook
from tests.builders import tune

BOOK = load_rulebook()


def saliences(music, idiom="march"):
    built = tune(music, tempo=76, length="1/16")
    return analyse(built, idiom, built.tempo, BOOK).salience


def test_the_first_note_of_a_part_stands_out_most():
    first, *others = saliences("2/4 | {g}A4 c2e2 | {g}A4 c2e2 | {g}A4 c2e2 | {g}A4 c2e2 |]")
    assert first.total == max(one.total for one in (first, *others))


def test_the_sum_is_the_weighted_terms():
    for one in saliences("2/4 | {g}A4 c3e | f2a2 e4 |]"):
        terms = (
            (0.25, one.metre), (0.20, one.duration), (0.20, one.contour), (0.25, one.phrase),
            (0.10, one.drone),
        )  # fmt: skip
        assert one.total == pytest.approx(sum(weight * term for weight, term in terms))
        assert all(0 <= term <= 1 for _, term in terms)


def test_a_long_note_stands_out_more_up_to_a_second():
    accents = [duration_accent(ms, BOOK) for ms in (100, 300, 600, 1000, 3000)]
    assert accents == sorted(accents)
    assert accents[-1] == accents[-2] == pytest.approx((1 - math.exp(-2)) ** 2)


def test_at_a_cadence_it_is_rest_that_counts():
    assert drone_accent("low A", True, BOOK) == 1.0
    assert drone_accent("C", False, BOOK) > drone_accent("low A", False, BOOK) == 0.0


def test_the_turn_of_a_melody_stands_out():
    rising_then_falling = melodic_accents([69, 73, 76, 73, 69])
    assert max(rising_then_falling[1:]) == rising_then_falling[2]


def test_a_melody_is_heard_as_it_is_played():
    # The last note of the repeated part leads to its first, so it falls where it would end.
    once, again = saliences("2/4 | A4 e4 |]"), saliences("2/4 |: A4 e4 :|")
    assert once[1].contour != again[1].contour


@pytest.mark.parametrize(("pitches", "accents"), [([], []), ([69], [1.0]), ([69, 71], [1.0, 1.0])])
def test_a_melody_may_be_very_short(pitches, accents):
    assert melodic_accents(pitches) == accents
