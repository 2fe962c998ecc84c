"""Parts and phrases set by hand change no note that is played, and say why where they would."""

from dataclasses import replace

import pytest

from planner.analysis.beats import place_notes
from planner.analysis.phrases import Span, cadence_notes, grouping_of, opens, shape_part
from planner.analysis.structure import phrase_shapes, structure_findings
from planner.divide import divide_parts, divide_phrases, part_starts
from planner.errors import RequestError
from planner.music.tune import Address
from planner.notation.abc import read_abc
from planner.notation.write import write_abc
from planner.rules.load import load_rulebook
from tests.builders import tune

RULES = load_rulebook()
PLAIN = tune(f"2/4 {'A2 B2 | ' * 15} A4 |]")
MIXED = tune("2/4 |: A4 | B4 :| c4 | d4 | e4 | f4 | |: g4 | a4 |1 e4 :|2 f4 |]")
WITH_PICKUPS = tune("2/4 e | A4 | B3 c || d4 | c3 e || f4 | e4 |]")


def shape(built):
    return [(part.times, [bar.number for bar in part.bars]) for part in built.parts]


def melody(built):
    return [note for bar in built.played_bars() for note in bar.notes]


def test_a_tune_in_one_piece_is_cut_where_somebody_says():
    cut = divide_parts(PLAIN, (1, 9))
    assert shape(cut) == [(1, [*range(1, 9)]), (1, [*range(1, 9)])]
    assert [part.number for part in cut.parts] == [1, 2]
    assert melody(cut) == melody(PLAIN)


def test_parts_that_are_not_repeated_are_joined():
    joined = divide_parts(divide_parts(PLAIN, (1, 5, 9)), (1, 9))
    assert joined == divide_parts(PLAIN, (1, 9))
    assert divide_parts(joined, (1,)) == PLAIN


def test_a_pick_up_goes_into_the_bar_that_was_cut_short_for_it():
    assert shape(WITH_PICKUPS) == [(1, [0, 1, 2]), (1, [1, 2]), (1, [1, 2])]
    written = tune("2/4 e | A4 | B3 || c | d4 | c4 |]")
    assert shape(written) == [(1, [0, 1, 2]), (1, [0, 1, 2])]
    joined = divide_parts(written, (1,))
    assert shape(joined) == [(1, [0, 1, 2, 3, 4])]
    assert melody(joined) == melody(written)
    assert joined.parts[0].bars[2].length == 2


def test_a_pick_up_without_room_keeps_its_part():
    written = tune("2/4 A4 | B4 || c | d4 | c3 |]")
    with pytest.raises(RequestError, match="has no room in the bar before it"):
        divide_parts(written, (1,))


def test_the_bars_are_counted_through_the_tune_each_ending_once():
    assert part_starts(MIXED) == (1, 3, 7)
    assert divide_parts(MIXED, (1, 3, 7)) is MIXED
    assert divide_parts(MIXED, ()) is MIXED
    assert shape(divide_parts(MIXED, (1, 3, 5, 7))) == [
        (2, [1, 2]),
        (1, [1, 2]),
        (1, [1, 2]),
        (2, [1, 2, 3, 3]),
    ]


@pytest.mark.parametrize(
    ("starts", "sentence"),
    [
        ((1, 2, 3, 7), "bar 2 stands inside part 1, which is repeated"),
        ((1, 7), "part 1 is repeated, so a part has to begin in bar 3"),
        ((1, 3), "part 3 is repeated, so a part has to begin in bar 7"),
        ((1, 3, 7, 9), "bar 9 stands inside part 3, which is repeated"),
        ((3, 7), "the parts are not in order"),
        ((1, 7, 3), "the parts are not in order"),
        ((1, 3, 7, 99), "there is no bar 99"),
    ],
)
def test_a_boundary_that_would_change_what_is_played_is_refused(starts, sentence):
    with pytest.raises(RequestError) as refused:
        divide_parts(MIXED, starts)
    assert refused.value.problem == sentence


NINE = tune(f"9/8 {'A6 B3 | ' * 8} A9 |]")


def test_the_phrases_of_a_part_of_nine_bars_begin_where_somebody_says():
    by_hand = divide_phrases(NINE, ((1, 3, 5, 7),))
    grouping = grouping_of(by_hand, RULES)
    found = shape_part(by_hand.parts[0], grouping)
    assert found.phrases == (Span(1, 2), Span(3, 4), Span(5, 6), Span(7, 9))
    assert found.lines == (Span(1, 4), Span(5, 9))


def test_everything_that_asks_for_phrases_follows_the_ones_set_by_hand():
    by_hand = divide_phrases(NINE, ((1, 4, 7),))
    grouping, notes = grouping_of(by_hand, RULES), place_notes(by_hand)
    words = [opens(Address(1, bar, 0, 1), grouping) for bar in range(1, 10)]
    assert words == ["part", "bar", "bar", "phrase", "bar", "bar", "line", "bar", "bar"]
    closing = {notes[index].address.bar for index in cadence_notes(notes, grouping)}
    assert closing == {3, 6, 9}
    assert [one.first_bar for one in phrase_shapes(by_hand, notes, grouping)] == [1, 4, 7]


def test_what_was_set_by_hand_is_no_longer_called_uneven():
    def codes(built):
        notes, grouping = place_notes(built), grouping_of(built, RULES)
        return {one.code for one in structure_findings(built, notes, grouping)}

    assert "uneven_part" in codes(NINE)
    assert "uneven_part" not in codes(divide_phrases(NINE, ((1, 4, 7),)))


@pytest.mark.parametrize(
    ("starts", "sentence"),
    [
        (((2, 4),), "the phrases of part 1 do not fit its 9 bars"),
        (((1, 4, 4),), "the phrases of part 1 do not fit its 9 bars"),
        (((1, 10),), "the phrases of part 1 do not fit its 9 bars"),
        (((1, 4), (1, 3)), "phrases are given for 2 parts, and the tune has 1"),
    ],
)
def test_phrases_that_do_not_fit_are_refused(starts, sentence):
    with pytest.raises(RequestError) as refused:
        divide_phrases(NINE, starts)
    assert refused.value.problem == sentence


def test_phrases_left_empty_stay_as_usual():
    assert divide_phrases(NINE, ((),)) is NINE
    two = divide_phrases(divide_parts(PLAIN, (1, 9)), ((), (1, 5)))
    grouping = grouping_of(two, RULES)
    assert [len(shape_part(part, grouping).phrases) for part in two.parts] == [4, 2]


def test_phrases_set_by_hand_travel_with_the_tune():
    by_hand = divide_phrases(NINE, ((1, 4, 7),))
    (read,) = read_abc(write_abc(by_hand))
    assert read.tune.phrase_starts == ((1, 4, 7),)
    short = replace(by_hand, phrase_starts=((1, 40),))
    assert read_abc(write_abc(short))[0].tune.phrase_starts == ()
