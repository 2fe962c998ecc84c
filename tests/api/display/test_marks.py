from dataclasses import replace

from api.display.marks import (
    done_words,
    drum_words,
    flam_words,
    group_left_out,
    group_marks,
    short_words,
    struck_address,
    worth_a_flag,
)
from planner.marks.marks import LeftOut, Move, Verdict
from tests.api.display.events import CONTEST, march, planned_entry

TIGHT = planned_entry(march()).plan.marks[0]
LATE, HOLD = planned_entry(march(), CONTEST).plan.marks


def moved_to(mark, bar: int):
    address = replace(mark.place.address, bar=bar)
    return replace(mark, place=replace(mark.place, address=address))


def test_the_same_mark_in_two_bars_is_said_once() -> None:
    groups = group_marks([moved_to(TIGHT, 3), TIGHT])
    assert [group.where for group in groups] == ["part 1, bars 1 and 3, beat 1"]


def test_different_marks_stay_apart_in_playing_order() -> None:
    assert [group.first.move for group in group_marks([HOLD, LATE])] == [Move.LATE, Move.HOLD]


def test_what_the_drums_must_know_comes_before_what_they_need_not() -> None:
    groups, more = worth_a_flag([HOLD, LATE], most=1)
    assert [group.first.drums for group in groups] == [Verdict.FOLLOW]
    assert more == 1


def test_a_mark_is_shortened_for_the_card() -> None:
    assert short_words(TIGHT) == "tight taorluath on low A"
    assert short_words(LATE) == "late taorluath on low A"
    assert short_words(HOLD) == "hold D"


def test_a_mark_set_by_hand_says_so() -> None:
    assert done_words(replace(HOLD, by_hand=True)) == "hold D, set by hand"


def test_drums_that_follow_are_told_by_how_much_and_which_way() -> None:
    assert drum_words(HOLD) == "strict"
    assert drum_words(LATE) == "follow, to be agreed: 35 ms later"


def test_a_drummer_meets_a_late_movement_on_the_next_beat() -> None:
    assert str(struck_address(LATE)) == "part 1, bar 1, beat 2"


def test_notes_left_off_for_the_same_reason_stand_together() -> None:
    left = [LeftOut(TIGHT.place, "no room"), LeftOut(moved_to(TIGHT, 2).place, "no room")]
    assert group_left_out(left) == (("part 1, bars 1 and 2, beat 1", "No room"),)


def test_a_breath_that_is_closed_is_no_matter_of_flams() -> None:
    breath = replace(HOLD, move=Move.BREATHE, drums=Verdict.CONFLICT)
    assert flam_words(breath) == "the bar grows, and strict drums do not wait"
