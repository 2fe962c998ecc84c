import pytest

from planner.marks.choices import ByHand, Choices
from planner.marks.describe import make_mark
from planner.marks.drum_map import map_drums
from planner.marks.lengthen import hold, lean
from planner.marks.mark_tune import mark_tune
from planner.marks.marks import Move, Verdict
from planner.marks.shift import early, late
from planner.marks.stage import judged
from planner.marks.tighten import tighten
from tests.planner.marks.stages import stage

MUSIC = "2/4 | {g}A4 {GdGe}A3B | c3e e4 | {Gdc}d4 c2c2 | A8 |]"
BARS = (1, 2, 3, 4)


def verdicts(on_stage, outcome):
    mark = make_mark(on_stage, judged(on_stage, outcome))
    bars = map_drums(on_stage.analysis.tune, [mark], on_stage.licence).bars
    assert tuple(bar.bar for bar in bars) == BARS
    return {bar.bar: bar.verdict.value for bar in bars if bar.verdict is not Verdict.STRICT}


def test_a_late_movement_is_followed_in_the_bar_of_its_beat():
    free = stage(MUSIC)
    assert verdicts(free, late(free, 0)) == {1: "follow"}


def test_an_early_movement_is_followed_in_its_own_bar_and_not_where_it_is_paid():
    free = stage(MUSIC)
    assert verdicts(free, early(free, 6)) == {3: "follow"}


def test_a_hold_between_the_strokes_asks_nothing():
    free = stage(MUSIC)
    assert verdicts(free, hold(free, 3)) == {}


def test_a_lean_moves_a_struck_beat():
    free = stage(MUSIC, "exhibition")
    assert verdicts(free, lean(free, 6)) == {3: "follow"}


def test_tight_playing_asks_nothing():
    strict = stage(MUSIC, "parade")
    assert verdicts(strict, tighten(strict, 0)) == {}


def test_without_drums_nobody_has_to_follow():
    alone = stage(MUSIC, "exhibition", drums="none")
    assert verdicts(alone, late(alone, 0)) == {}


@pytest.mark.parametrize(
    ("occasion", "drums", "tempo"),
    [
        ("parade", "full", "strict"), ("competition", "full", "agreed"),
        ("exhibition", "full", "agreed"), ("exhibition", "none", "none"),
    ],
)  # fmt: skip
def test_the_tune_as_a_whole_has_one_word_for_the_drums(occasion, drums, tempo):
    here = stage(MUSIC, occasion, drums=drums)
    marks = mark_tune(here, Choices()).marks
    assert map_drums(here.analysis.tune, marks, here.licence).tempo == tempo


def test_a_conflict_outweighs_all_else_in_its_bar():
    strict = stage(MUSIC, "parade")
    word = ByHand(1, 1, 0, 0, Move.LATE)
    marks = mark_tune(strict, Choices(by_hand=(word,))).marks
    assert map_drums(strict.analysis.tune, marks, strict.licence).bars[0].verdict is (
        Verdict.CONFLICT
    )
