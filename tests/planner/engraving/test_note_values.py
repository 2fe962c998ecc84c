"""Are lengths written with the heads, dots and flags a player expects?"""

from fractions import Fraction

import pytest

from planner.engraving.note_values import note_values, tuplet_edges
from tests.builders import tune


@pytest.mark.parametrize(
    ("length", "written"),
    [
        ("4", [("whole", 0, 0)]),
        ("3/2", [("quarter", 1, 0)]),
        ("3/4", [("eighth", 1, 1)]),
        ("7/8", [("eighth", 2, 1)]),
        ("15/16", [("eighth", 3, 1)]),
        ("1/8", [("32nd", 0, 3)]),
        ("5/4", [("quarter", 0, 0), ("16th", 0, 2)]),
        ("1/3", []),
        ("1/128", []),
    ],
)
def test_a_length_is_written_with_few_notes(
    length: str, written: list[tuple[str, int, int]]
) -> None:
    values = note_values(Fraction(length))
    assert [(value.kind, value.dots, value.flags) for value in values] == written


def test_the_pieces_of_a_length_add_up() -> None:
    for numerator in range(1, 200):
        length = Fraction(numerator, 16)
        assert sum(value.length for value in note_values(length)) == length


@pytest.mark.parametrize(
    ("body", "starts", "stops"),
    [
        ("2/4 | (3ABc (3def |]", {0, 3}, {2, 5}),
        ("2/4 | (3:2:2A2B c2 |]", {0}, {1}),
        ("2/4 | (3:2:2AB2 c2 |]", {0}, {1}),
        ("2/4 | d2 (3ABc |]", {1}, {3}),
        ("6/8 | (2AB c3 |]", {0}, {1}),
        ("2/4 | A2 B2 |]", set(), set()),
    ],
)
def test_a_triplets_bracket_covers_its_notes(body: str, starts: set[int], stops: set[int]) -> None:
    assert tuplet_edges(tune(body).parts[0].bars[0].notes) == (starts, stops)
