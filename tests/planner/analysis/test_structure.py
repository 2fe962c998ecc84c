"""How a tune is built, and what is said where it is not as usual."""

from planner.analysis.beats import place_notes
from planner.analysis.phrases import grouping_of
from planner.analysis.structure import do_parts_end_alike, phrase_shapes, structure_findings
from planner.rules.load import load_rulebook
from tests.builders import tune

FOUR = "A2B2 | c2B2 | A2e2 | d2B2"
CLOSE = "e2f2 | A4"


def studied(body):
    written = tune(body)
    return written, place_notes(written), grouping_of(written, load_rulebook())


def codes(body):
    return [finding.code for finding in structure_findings(*studied(body))]


def test_the_second_phrase_of_a_pair_answers_the_first():
    shapes = phrase_shapes(*studied(f"2/4 |: {FOUR} :|"))
    assert [(shape.first_bar, shape.answers) for shape in shapes] == [(1, False), (3, True)]


def test_a_phrase_that_comes_again_names_the_first_one():
    shapes = phrase_shapes(*studied("2/4 |: A2B2 | c2B2 | e2f2 | e4 | A2B2 | c2B2 | f2e2 | A4 :|"))
    assert (shapes[2].like, shapes[2].likeness) == ((1, 1, 0), 1.0)


def test_a_phrase_that_differs_in_one_note_of_four_is_similar():
    shapes = phrase_shapes(*studied("2/4 |: A2B2 | c2B2 | A2B2 | c2e2 :|"))
    assert (shapes[1].like, shapes[1].likeness) == ((1, 1, 0), 0.75)


def test_a_phrase_with_little_in_common_is_like_none():
    shapes = phrase_shapes(*studied("2/4 |: A2B2 | c2B2 | e2f2 | c2e2 :|"))
    assert shapes[1].like is None


def test_endings_have_phrases_of_their_own():
    shapes = phrase_shapes(*studied("2/4 |: A2B2 | c2B2 | e2f2 |1 A4 :|2 B4 |]"))
    assert [(shape.first_bar, shape.ending) for shape in shapes] == [(1, 0), (3, 1), (3, 2)]


def test_parts_that_close_on_the_same_phrase_are_told():
    alike = f"2/4 |: {FOUR} | {CLOSE} :: e2f2 | d2c2 | B2d2 | e2f2 | {CLOSE} :|"
    assert do_parts_end_alike(*studied(alike))
    assert "parts_end_alike" in codes(alike)


def test_parts_that_close_differently_are_not():
    assert not do_parts_end_alike(*studied(f"2/4 |: {FOUR} :: e2f2 | d2c2 | B2d2 | e4 :|"))


def test_a_single_part_cannot_end_like_another():
    assert not do_parts_end_alike(*studied(f"2/4 |: {FOUR} :|"))


def test_nine_bars_are_not_forced_into_phrases_of_two():
    assert codes("2/4 |: " + " | ".join(["A2B2"] * 9) + " :|") == ["uneven_part"]


def test_a_long_tune_without_any_sign_is_called_one_part():
    assert "one_long_part" in codes("2/4 " + " | ".join(["A2B2", "c2B2"] * 10) + " |]")
