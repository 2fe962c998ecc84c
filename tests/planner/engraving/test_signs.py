"""Is every move told by the shape of its sign alone, also on a poor copy?"""

from itertools import combinations

import numpy as np
import pytest

from planner.engraving.engraved import Box, svg_document
from planner.engraving.signs import MEANINGS, legend, mark_sign, sign_box
from planner.marks.marks import Move
from tests.planner.engraving.ink import ink_of, spread

FIELD = Box(-3.0, -3.0, 6.0, 4.0)


def copied(move: Move, size: float = 0.7) -> np.ndarray:
    """The sign in the middle of a field, copied at 70 %."""
    room = sign_box(move)
    centred = f'<g transform="scale({size}) translate({-room.left - room.width / 2} 0)">'
    return ink_of(svg_document(FIELD, f"{centred}{mark_sign(move)}</g>"), FIELD.width, FIELD.height)


@pytest.mark.parametrize("move", Move)
def test_every_move_has_a_sign_that_stays_in_its_box(move: Move) -> None:
    room = sign_box(move)
    outside = svg_document(FIELD, mark_sign(move))
    dark = ink_of(outside, FIELD.width, FIELD.height)
    rows, columns = np.nonzero(dark)
    per_mm = dark.shape[1] / FIELD.width
    assert dark.any()
    assert columns.min() / per_mm + FIELD.left >= room.left - 0.15
    assert columns.max() / per_mm + FIELD.left <= min(room.right, FIELD.right) + 0.15
    assert rows.min() / per_mm + FIELD.top >= room.top - 0.15


@pytest.mark.parametrize(("one", "other"), list(combinations(Move, 2)))
def test_two_signs_differ_by_much_of_their_ink_on_a_small_copy(one: Move, other: Move) -> None:
    first, second = copied(one), copied(other)
    alike = (first & spread(second)).sum() + (second & spread(first)).sum()
    assert alike < 0.8 * (first.sum() + second.sum())


def test_a_hold_is_as_long_as_it_is_asked_to_be() -> None:
    assert sign_box(Move.HOLD, 9.0).width == 9.0
    assert "H9" in mark_sign(Move.HOLD, 9.0)


def test_the_legend_shows_each_move_once_with_its_own_sign_and_meaning() -> None:
    drawn = legend([Move.LATE, Move.HOLD, Move.LATE])
    for move in (Move.HOLD, Move.LATE):
        assert drawn.count(mark_sign(move)) == 1
        assert drawn.count(MEANINGS[move]) == 1
    assert MEANINGS[Move.LEAN] not in drawn


def test_a_legend_takes_an_iterator() -> None:
    assert legend(iter([Move.LATE, Move.HOLD])) == legend([Move.HOLD, Move.LATE])
