"""Marks on a tune without notes: by hand only, at a part, a bar and a beat."""

from fractions import Fraction

import pytest

from planner.event.event import Control, Occasion, Setting, Sort
from planner.marks.choices import Agreed, ByHand, Choices
from planner.marks.marks import Agreement, Move, Verdict
from planner.marks.outline_marks import beats_of_outline
from planner.music.tempo import Metre
from planner.music.tune import Address, outline
from planner.plan import plan_tune
from planner.rules.load import load_rulebook

SCAN = outline("Old Sheet", Metre(6, 8), ((8, 2), (8, 2)), idiom="march")


def planned(occasion, sort, *words, agreements=()):
    setting = Setting(occasion, sort, control=Control(4))
    choices = Choices(by_hand=words, agreements=agreements)
    return plan_tune(SCAN, setting, load_rulebook(), choices=choices)


def at_parade(*words):
    return planned(Occasion.PARADE, Sort.OWN_BAND, *words)


def test_without_a_word_from_anybody_there_is_no_mark():
    plan = at_parade()
    assert plan.marks == ()
    assert [finding.code for finding in plan.warnings if finding.code == "no_notes"]


def test_a_hold_stands_at_its_part_bar_and_beat_and_asks_nothing_of_the_drums():
    (mark,) = at_parade(ByHand(2, 5, 0, 1, Move.HOLD)).marks
    assert mark.place.address == Address(2, 5, 0, Fraction(2))
    assert (mark.drums, mark.agreement, mark.by_hand) == (
        Verdict.STRICT,
        Agreement.NOT_NEEDED,
        True,
    )


@pytest.mark.parametrize("move", [Move.EARLY, Move.LATE, Move.LEAN, Move.BREATHE])
def test_a_move_beyond_the_beat_is_a_conflict_on_parade(move):
    plan = at_parade(ByHand(1, 1, 0, 0, move))
    assert plan.marks[0].drums is Verdict.CONFLICT
    assert not plan.is_ready_to_print


def test_the_same_move_waits_for_the_drums_word_at_a_competition_and_gets_it():
    word = ByHand(1, 1, 0, 0, Move.LEAN, 30.0)
    said = Agreed(Address(1, 1, 0, Fraction(1)), Move.LEAN, 30.0, 84.0, True)
    open_plan = planned(Occasion.COMPETITION, Sort.MEDLEY, word)
    agreed = planned(Occasion.COMPETITION, Sort.MEDLEY, word, agreements=(said,))
    assert open_plan.marks[0].agreement is Agreement.TO_BE_AGREED
    assert agreed.marks[0].agreement is Agreement.AGREED


def test_the_drum_map_shows_it_in_its_bar():
    plan = at_parade(ByHand(1, 3, 0, 0, Move.LATE))
    told = {(bar.part, bar.bar): bar.verdict for bar in plan.drums.bars}
    assert told[1, 3] is Verdict.CONFLICT
    assert told[1, 2] is Verdict.STRICT


def test_a_beat_that_is_not_there_is_told_and_nothing_is_lost():
    plan = at_parade(ByHand(1, 9, 0, 0, Move.HOLD), ByHand(1, 1, 0, 0, Move.HOLD))
    assert len(plan.marks) == 1
    assert "hand_mark_gone" in [finding.code for finding in plan.warnings]


def test_a_six_eight_bar_has_two_places():
    assert len(list(beats_of_outline(SCAN))) == 2 * 8 * 2
