from fractions import Fraction

import pytest

from planner.analysis.beats import beat_strength, notes_before, place_notes
from planner.music.tempo import Metre
from tests.builders import tune


def addresses(music):
    return [str(note.address) for note in place_notes(tune(music))]


def followers(music):
    return [note.followers for note in place_notes(tune(music))]


def test_a_note_has_its_part_bar_and_beat():
    assert addresses("6/8 | A2B c3 | d6 |]") == [
        "part 1, bar 1, beat 1", "part 1, bar 1, beat 1.667", "part 1, bar 1, beat 2",
        "part 1, bar 2, beat 1",
    ]  # fmt: skip


def test_a_pick_up_counts_back_from_its_bar_line():
    first = place_notes(tune("2/4 | e | A4 |]"))[0]
    assert (first.address.bar, first.address.beat, first.onset) == (
        0, Fraction(5, 2), Fraction(3, 2),
    )  # fmt: skip


def test_beats_are_counted_as_they_are_felt():
    notes = place_notes(tune("C| | A4 B2 c2 |]"))
    assert [(note.beat_number, note.is_on_beat) for note in notes] == [
        (1, True), (2, True), (2, False),
    ]  # fmt: skip


def test_what_comes_next_is_the_next_note_and_at_a_repeat_the_first_again():
    assert followers("2/4 |: A2 B2 | c4 :|") == [(1,), (2,), (0,)]


def test_endings_part_and_the_first_time_is_named_first():
    assert followers("2/4 |: A4 |1 B4 :|2 c4 |]") == [(1, 2), (0,), ()]


def test_a_part_leads_to_the_next_ones_pick_up():
    # The part is repeated, so its last note leads to both pick-ups, its own first.
    notes = place_notes(tune("2/4 |: e | A4 | B3 :: f | c4 | d3 :|"))
    assert notes[2].followers == (0, 3)


def test_every_note_that_ever_sounds_before_is_known():
    notes = place_notes(tune("2/4 |: A4 |1 B4 :|2 c4 |]"))
    assert notes_before(notes) == ((1,), (0,), (0,))


@pytest.mark.parametrize("metre", [Metre(2, 4), Metre(4, 4), Metre(6, 8), Metre(9, 8)])
def test_nothing_is_stronger_than_the_first_beat(metre):
    places = [Fraction(n, 4) for n in range(int(metre.bar_length * 4))]
    strengths = [beat_strength(place, metre) for place in places]
    assert strengths[0] == max(strengths) == 1.0
    assert strengths.count(1.0) == 1


def test_a_felt_beat_is_stronger_than_what_lies_between():
    assert beat_strength(Fraction(3, 2), Metre(6, 8)) > beat_strength(Fraction(1), Metre(6, 8))
