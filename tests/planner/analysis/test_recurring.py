"""Figures that come round again, the same or with other gracenotes."""

from planner.analysis.beats import place_notes
from planner.analysis.recurring import recurring_figures
from tests.builders import tune


def recurring(music):
    return [
        (", ".join(one.notes), str(one.first), [*map(str, one.equal)], [*map(str, one.alike)])
        for one in recurring_figures(place_notes(tune(music)))
    ]


def test_a_figure_with_the_same_gracenotes_is_equal():
    found = recurring("2/4 {g}A>B {d}c2 | {g}e4 | {g}A>B {d}c2 | {e}f4 |]")
    assert found == [
        ("low A, B", "part 1, bar 1, beat 1", ["part 1, bar 3, beat 1"], []),
    ]


def test_the_same_melody_with_other_gracenotes_is_alike():
    found = recurring("2/4 {g}A>B c2 | e4 | {g}A>B c2 | f4 | {GdGe}A>B c2 | A4 |]")
    assert found == [
        (
            "low A, B",
            "part 1, bar 1, beat 1",
            ["part 1, bar 3, beat 1"],
            ["part 1, bar 5, beat 1"],
        ),
    ]


def test_the_gracenotes_that_come_most_often_make_the_figure():
    found = recurring("2/4 A>B c2 | e4 | {g}A>B c2 | f4 | {g}A>B c2 | A4 |]")
    assert found == [
        (
            "low A, B",
            "part 1, bar 3, beat 1",
            ["part 1, bar 5, beat 1"],
            ["part 1, bar 1, beat 1"],
        ),
    ]


def test_the_note_a_figure_leads_to_belongs_to_it():
    assert recurring("2/4 {g}A>B c2 | e4 | {g}A>B d2 | f4 |]") == []
    found = recurring("2/4 {g}A>B {d}c2 | e4 | {g}A>B {g}c2 | f4 |]")
    assert [(equal, alike) for _, _, equal, alike in found] == [([], ["part 1, bar 3, beat 1"])]


def test_the_same_notes_on_another_beat_or_in_another_rhythm_are_another_figure():
    assert recurring("2/4 A>B c2 | e2 A>B | c4 | A<B c2 |]") == []


def test_one_plain_note_is_no_figure():
    assert recurring("2/4 A2 B2 | c4 | A2 B2 | d4 |]") == []


def test_the_figure_that_comes_most_often_stands_first():
    found = recurring("2/4 |: d>e A2 | {g}A>B c2 | {g}A>B c2 | {g}A>B c2 | d>e A2 :|")
    assert [(notes, 1 + len(equal)) for notes, _, equal, _ in found] == [
        ("low A, B", 3),
        ("D, E", 2),
    ]
