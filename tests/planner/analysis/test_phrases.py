from fractions import Fraction

import pytest

from planner.analysis.beats import place_notes
from planner.analysis.phrases import (
    Grouping,
    Span,
    cadence_notes,
    grouping_of,
    opens,
    phrase_rank,
    shape_part,
)
from planner.music.tune import Address
from planner.rules.load import load_rulebook
from tests.builders import tune

BOOK = load_rulebook()
USUAL = Grouping(2, 4)


def cadences(music):
    notes = place_notes(tune(music))
    return [str(notes[index].address) for index in sorted(cadence_notes(notes, USUAL))]


def test_a_part_of_eight_bars_is_four_phrases_and_two_lines():
    part = tune(f"2/4 |: {'A4 | ' * 8}:|").parts[0]
    shape = shape_part(part, USUAL)
    assert shape.phrases == (Span(1, 2), Span(3, 4), Span(5, 6), Span(7, 8))
    assert shape.lines == (Span(1, 4), Span(5, 8))


def test_the_line_breaks_of_the_file_make_no_phrase():
    broken = tune("2/4 | A4 |\nB4 | c4 |\nd4 |]").parts[0]
    assert shape_part(broken, USUAL).phrases == (Span(1, 2), Span(3, 4))


def test_a_part_that_does_not_come_out_even_ends_in_a_short_phrase():
    part = tune("2/4 | A4 | B4 | c4 | d4 | e4 |]").parts[0]
    assert shape_part(part, USUAL).phrases[-1] == Span(5, 5)


def test_endings_share_the_bars_they_stand_for():
    part = tune("2/4 |: A4 | B4 | c4 |1 d4 :|2 e4 |]").parts[0]
    assert shape_part(part, USUAL).phrases == (Span(1, 2), Span(3, 4))


def test_a_tunes_own_grouping_goes_before_the_usual():
    assert grouping_of(tune("2/4 | A4 |]"), BOOK) == USUAL
    own = type(tune("2/4 | A4 |]"))
    built = tune("2/4 | A4 |]")
    three = own(built.title, built.metre, built.parts, phrase_bars=3, line_bars=6)
    assert grouping_of(three, BOOK) == Grouping(3, 6)


@pytest.mark.parametrize(
    ("bar", "word"),
    [(1, "part"), (2, "bar"), (3, "phrase"), (4, "bar"), (5, "line"), (7, "phrase"), (9, "line")],
)
def test_a_bar_opens_a_part_a_line_a_phrase_or_just_itself(bar, word):
    assert opens(Address(1, bar, 0, Fraction(1)), USUAL) == word


def test_a_cadence_note_closes_a_phrase_on_the_beat_and_lasts_a_beat():
    assert cadences("2/4 | A2 B2 | c2 d2 | A2 B2 | c2d2 |]") == [
        "part 1, bar 2, beat 2", "part 1, bar 4, beat 2",
    ]  # fmt: skip


def test_a_phrase_that_runs_on_has_no_cadence_note():
    assert cadences("2/4 | A4 | c d e f | A4 | c d e f |]") == []


def test_both_endings_close_their_phrase():
    assert cadences("2/4 |: A2B2 |1 c4 :|2 d4 |]") == [
        "part 1, bar 2, ending 1, beat 1", "part 1, bar 2, ending 2, beat 1",
    ]  # fmt: skip


@pytest.mark.parametrize(("bar", "rank"), [(1, 1.0), (2, 0.3), (3, 0.6), (5, 0.8)])
def test_the_first_beat_ranks_by_what_it_opens(bar, rank):
    notes = place_notes(tune("2/4 | A4 | B4 | c4 | d4 | e4 |]"))
    assert phrase_rank(notes[bar - 1], USUAL, False, BOOK) == rank


def test_a_cadence_note_ranks_as_a_phrase_and_other_notes_not_at_all():
    notes = place_notes(tune("2/4 | A2 B2 |]"))
    assert phrase_rank(notes[1], USUAL, True, BOOK) == 0.6
    assert phrase_rank(notes[1], USUAL, False, BOOK) == 0.0
    assert phrase_rank(notes[0], USUAL, True, BOOK) == 1.0
