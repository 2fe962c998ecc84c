"""Is a path the same after it has been moved and scaled?

The commands and their numbers are those of the SVG 1.1 recommendation, chapter 8.3.
"""

import pytest

from planner.engraving.path_data import Placing, placed_path, steps


@pytest.mark.parametrize(
    ("data", "absolute"),
    [
        ("M1 2l3 4", [("M", (1, 2)), ("L", (4, 6))]),
        ("m1 2 3 4", [("M", (1, 2)), ("L", (4, 6))]),
        ("M1 2h3v-1z", [("M", (1, 2)), ("H", (4,)), ("V", (1,)), ("Z", ())]),
        ("M1 1zl1 1", [("M", (1, 1)), ("Z", ()), ("L", (2, 2))]),
        (
            "M0 0c1 2 3 4 5 6s1 1 2 2",
            [("M", (0, 0)), ("C", (1, 2, 3, 4, 5, 6)), ("S", (6, 7, 7, 8))],
        ),
        ("M.5-.5L1e1,2", [("M", (0.5, -0.5)), ("L", (10, 2))]),
        ("M1 1a2 2 0 1 0 4 0", [("M", (1, 1)), ("A", (2, 2, 0, 1, 0, 5, 1))]),
    ],
)
def test_relative_steps_become_absolute(data: str, absolute: list[tuple[str, tuple[int]]]) -> None:
    assert list(steps(data)) == absolute


def test_an_upside_down_placing_turns_arcs_round() -> None:
    turned = placed_path("M0 0A2 2 0 1 0 4 0", Placing(10, -10, 1, 2))
    assert list(steps(turned)) == [("M", (1, 2)), ("A", (20, 20, 0, 1, 1, 41, 2))]


def test_what_is_closed_goes_on_from_where_it_began() -> None:
    placed = placed_path("M1 1l2 0v2zM5 5h1zl3 3", Placing(2, 3, 10, 20))
    ends = [numbers[-2:] for kind, numbers in steps(placed) if kind in "ML"]
    assert ends == [(12, 23), (16, 23), (20, 35), (26, 44)]


def test_a_shape_is_the_same_wherever_it_stands() -> None:
    data = "M0.4 0.3c.4 1.1 1.3 2.2 2.4 3.3z"
    first, second = (placed_path(data, Placing(1.5, -1.5, x, 7.0)) for x in (3.2, 48.9))
    assert first.partition("c")[2] == second.partition("c")[2]


def test_placings_nest() -> None:
    outer, inner = Placing(2, 2, 10, 20), Placing(3, -3, 1, 1)
    nested = outer.then(inner)
    assert (nested.x(5), nested.y(5)) == (10 + 2 * (3 * 5 + 1), 20 + 2 * (-3 * 5 + 1))


@pytest.mark.parametrize("data", ["L", "M1", "M1 2 L3", "1 2", "M1 2 hello"])
def test_what_is_no_path_is_refused(data: str) -> None:
    with pytest.raises(ValueError, match="path data"):
        steps(data)
