"""How a tune is built, and what is said where it is not as usual."""

import pytest

from planner.analysis.beats import place_notes
from planner.analysis.phrases import grouping_of
from planner.analysis.structure import do_parts_end_alike, phrase_shapes, structure_findings
from planner.rules.load import load_rulebook
from tests.builders import tune
from tests.properties.graced_tunes import Size, seeded_tune

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


@pytest.mark.parametrize("seed", range(30))
def test_a_phrase_is_like_the_first_of_those_it_shares_most_notes_with(seed):
    written = seeded_tune(seed, Size(parts=(3,), bars=(8,)))
    notes, grouping = place_notes(written), grouping_of(written, load_rulebook())
    shapes = phrase_shapes(written, notes, grouping)
    melodies = [melody_of(shape, notes) for shape in shapes]
    for here, shape in enumerate(shapes):
        shares = [equal_share(melodies[here], earlier) for earlier in melodies[:here]]
        most = max(shares, default=0.0)
        first = shapes[shares.index(most)] if most >= 0.6 else None
        named = first and (first.part, first.first_bar, first.ending)
        assert (shape.like, shape.likeness) == (named, most if first else 0.0)


def melody_of(shape, notes):
    """The phrase as printed, with its own ending: bar of the phrase, pitch, onset, length."""
    return {
        (note.address.bar - shape.first_bar, note.note.pitch, note.onset, note.note.length)
        for note in notes
        if note.address.part == shape.part
        and note.address.bar > 0
        and shape.first_bar <= note.address.bar < shape.first_bar + 2
        and note.address.ending in (0, shape.ending)
    }


def equal_share(one, other):
    return len(one & other) / max(len(one), len(other))
