import pytest

from planner.event.event import Control, Occasion
from planner.licence.licence import Level
from planner.licence.limits import Budget, budget_of, size_factor, timing_scatter
from planner.rules.load import load_rulebook

BOOK = load_rulebook()


@pytest.mark.parametrize(
    ("level", "per_line"),
    [(Level.NONE, 0), (Level.SLIGHT, 1), (Level.AGREED, 2), (Level.FULL, 2)],
)
def test_a_line_carries_none_one_or_two(level, per_line):
    assert budget_of(level, False, Occasion.PARADE, BOOK) == Budget(per_line, None)


@pytest.mark.parametrize("level", [Level.SLIGHT, Level.AGREED, Level.FULL])
def test_a_round_part_carries_one_and_two_at_an_exhibition(level):
    assert budget_of(level, True, Occasion.COMPETITION, BOOK).per_part == 1
    assert budget_of(level, True, Occasion.EXHIBITION, BOOK).per_part == 2


def test_a_round_part_carries_none_where_nothing_is_open():
    assert budget_of(Level.NONE, True, Occasion.EXHIBITION, BOOK) == Budget(0, 0)


@pytest.mark.parametrize(("rung", "sigma_ms"), [(1, 25), (2, 18), (3, 13), (4, 10)])
def test_the_scatter_falls_from_rung_to_rung(rung, sigma_ms):
    assert timing_scatter(Control(rung), BOOK) == (rung, sigma_ms)


def test_a_measured_scatter_replaces_that_of_the_rung():
    assert timing_scatter(Control(2, 14.5), BOOK) == (2, 14.5)


def test_rung_four_is_taken_where_nobody_has_said():
    assert timing_scatter(Control(), BOOK) == (4, 10)


@pytest.mark.parametrize(
    ("idiom", "occasion", "factor"),
    [
        ("march", Occasion.COMPETITION, 1.2),
        ("strathspey", Occasion.COMPETITION, 1.4),
        ("march", Occasion.EXHIBITION, 1.4),
        ("strathspey", Occasion.EXHIBITION, 1.8),
        ("jig", Occasion.EXHIBITION, 1.2),
    ],
)
def test_a_free_hold_is_so_much_larger_than_just_heard(idiom, occasion, factor):
    assert size_factor(idiom, occasion, BOOK) == factor
