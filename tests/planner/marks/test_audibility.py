import pytest

from planner.marks.audibility import (
    judge_audibility,
    judge_producible,
    lab_threshold,
    music_threshold,
)
from planner.rules.load import load_rulebook

BOOK = load_rulebook()


@pytest.mark.parametrize(
    ("shift_ms", "word"),
    [
        (9.9, "cannot be heard"), (10.0, "felt, not noticed"), (21.9, "felt, not noticed"),
        (22.0, "heard"), (43.9, "heard"), (44.0, "strong"), (66.0, "overdone"),
    ],
)  # fmt: skip
def test_a_shift_at_400_ms_has_its_word(shift_ms, word):
    assert judge_audibility(shift_ms, 400.0, False, True, BOOK).word == word


def test_early_is_easier_to_hear_than_late():
    early, late = (judge_audibility(ms, 400.0, False, True, BOOK) for ms in (-20.0, 20.0))
    assert early.ratio == pytest.approx(20 / 18)
    assert late.ratio == pytest.approx(20 / 22)
    assert early.lab_ratio == late.lab_ratio == 2.0


def test_thresholds_stop_growing_at_a_second():
    assert lab_threshold(4000.0, BOOK) == lab_threshold(1000.0, BOOK) == 25.0
    assert music_threshold(4000.0, BOOK) == 50.0


@pytest.mark.parametrize("ioi_ms", [100, 240, 400, 700, 1000])
def test_music_hides_more_than_a_bare_row_of_tones(ioi_ms):
    assert music_threshold(ioi_ms, BOOK) >= lab_threshold(ioi_ms, BOOK)


@pytest.mark.parametrize(
    ("shift_ms", "word"),
    [(20.0, "reliable"), (19.0, "uncertain"), (-10.0, "uncertain"), (9.0, "lost in the scatter")],
)
def test_players_with_ten_ms_of_scatter_make_it_or_not(shift_ms, word):
    assert judge_producible(shift_ms, 10.0, BOOK).word == word
