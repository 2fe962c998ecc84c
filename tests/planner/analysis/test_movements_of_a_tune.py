"""Regression: the movements and tachums of whole tunes, in invented bars."""

from dataclasses import replace
from fractions import Fraction

import pytest

from planner.analysis.movements import UNNAMED, name_movements, tachums
from planner.music.scale import Pitch, chanter_pitch
from planner.music.tempo import Metre
from planner.music.tune import Bar, Note, Part, Tune
from planner.rules.load import load_rulebook

RULES = load_rulebook()
TWO_FOUR = Metre(2, 4)


def note(name, gracenotes="", length="1/2"):
    graces = tuple(chanter_pitch(grace) for grace in gracenotes.split(", ") if grace)
    return Note(chanter_pitch(name), Fraction(length), graces)


def bar(number, *notes, ending=0):
    return Bar(number, TWO_FOUR, notes, ending)


def one_part(*bars, times=1, idiom="march"):
    endings = ((1,), (2,)) if any(bar.ending for bar in bars) else ()
    return Tune("Invented", TWO_FOUR, (Part(1, bars, times, endings),), idiom)


def names(tune):
    return {identity: got.name for identity, got in name_movements(tune, RULES)}


GRIP_ON_E = note("E", "low G, D, low G")


def test_movements_come_in_printed_order_under_the_ids_of_their_notes():
    tune = one_part(bar(1, note("low A", "high G"), note("B")), bar(2, note("B", "high G, B, D")))
    assert list(names(tune).items()) == [
        ("p1b1e0n0", "high G gracenote"),
        ("p1b2e0n0", "doubling on B"),
    ]


def test_the_note_before_is_found_across_the_bar_line():
    tune = one_part(bar(1, note("D")), bar(2, GRIP_ON_E))
    assert names(tune) == {"p1b2e0n0": UNNAMED}


def test_the_first_note_of_each_part_may_come_from_any_note():
    first = Part(1, (bar(1, note("D")),), times=2)
    second = Part(2, (bar(1, GRIP_ON_E),))
    tune = Tune("Invented", TWO_FOUR, (first, second))
    assert names(tune) == {"p2b1e0n0": "grip"}


def test_both_endings_come_from_the_bar_before_the_first():
    fork = bar(1, note("C"))
    one = bar(2, GRIP_ON_E, note("D"), ending=1)
    two = bar(2, GRIP_ON_E, note("D"), ending=2)
    assert names(one_part(fork, one, two, times=2)) == {"p1b2e1n0": "grip", "p1b2e2n0": "grip"}


@pytest.mark.parametrize(
    ("closes", "name"), [(("D", "D"), UNNAMED), (("C", "D"), "grip"), (("C", "C"), "grip")]
)
def test_after_the_endings_the_note_before_is_known_when_they_agree(closes, name):
    one, two = (bar(2, note(pitch), ending=ending) for ending, pitch in enumerate(closes, start=1))
    tune = one_part(bar(1, note("B")), one, two, bar(3, GRIP_ON_E), times=2)
    assert names(tune)["p1b3e0n0"] == name


@pytest.mark.parametrize(("middle", "name"), [("D", "grip"), ("B", "grip from D")])
def test_after_a_rest_the_note_before_is_unknown(middle, name):
    grip = note("E", f"low G, {middle}, low G")
    tune = one_part(bar(1, note("D"), Note(None, Fraction(1, 2)), grip))
    assert names(tune) == {"p1b1e0n2": name}


def test_a_tune_played_in_another_idiom_takes_its_beat():
    birl = note("low A", "low A, low G, low A, low G")
    tune = one_part(bar(1, note("B"), birl))
    assert name_movements(tune, RULES)[0][1].beat_index == 4
    assert name_movements(tune, RULES, idiom="strathspey")[0][1].beat_index == 0


def test_c_natural_and_c_sharp_are_one_note_of_the_chanter():
    natural = Note(Pitch("C", 0, 5), Fraction(1, 2), (chanter_pitch("high G"), Pitch("C", 0, 5)))
    doubling = replace(natural, gracenotes=(*natural.gracenotes, chanter_pitch("D")))
    assert names(one_part(bar(1, doubling))) == {"p1b1e0n0": "doubling on C"}


def test_a_gracenote_off_the_chanter_is_kept_in_words():
    odd = Note(chanter_pitch("B"), Fraction(1, 2), (Pitch("B", -1, 4),))
    ((_, got),) = name_movements(one_part(bar(1, odd)), RULES)
    assert (got.name, got.in_words) == (UNNAMED, "gracenotes: B flat (octave 4)")


@pytest.mark.parametrize(
    ("short", "long"),
    [
        (note("C", "high G", "1/4"), note("low A", "D", "3/8")),
        (note("C", "high G", "3/4"), note("low A", "D", "1/4")),
        (note("C", "high G", "1/4"), note("B", "D", "3/4")),
        (note("C", "E", "1/4"), note("low A", "D", "3/4")),
        (note("C", "high G", "1/4"), note("low A", "E", "3/4")),
        (note("C", "high G", "1/4"), note("low A", "", "3/4")),
    ],
)
def test_without_its_rhythm_fall_or_gracenotes_it_is_no_tachum(short, long):
    assert tachums(one_part(bar(1, short, long))) == ()


def test_a_first_note_of_exactly_half_is_a_tachum_under_both_ids():
    tune = one_part(
        bar(1, note("E"), note("B", "high G", "1/4"), note("low G", "D", "1/2")),
    )
    (found,) = tachums(tune)
    assert (found.short_note, found.long_note) == ("p1b1e0n1", "p1b1e0n2")


def test_a_tachum_does_not_reach_over_the_bar_line():
    short, long = note("C", "high G", "1/4"), note("low A", "D", "3/4")
    assert tachums(one_part(bar(1, short), bar(2, long))) == ()
