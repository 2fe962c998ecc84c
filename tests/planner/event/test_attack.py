"""How a tune is attacked, and what that does to the clock."""

from __future__ import annotations

from fractions import Fraction

import pytest

from planner.event.event import Attack, Entry, Occasion, Set, Setting, Sort
from planner.event.timetable import Kind, time_set
from planner.music.tempo import Metre
from planner.music.tune import outline
from planner.rules.load import load_rulebook

BOOK = load_rulebook()
TUNES = {"a": outline("One", Metre(2, 4), ((8, 2),)), "b": outline("Two", Metre(2, 4), ((8, 2),))}
CONCERT = Setting(Occasion.EXHIBITION, Sort.STANDING)
# Two three-pace rolls are eight beats from step-off to the tune (trade knowledge, from memory).
ROLLS = 8


@pytest.mark.parametrize(
    ("attack", "own", "beats"),
    [
        (None, None, BOOK.number("drill.introduction.exhibition")),
        (Attack.ROLLS, None, ROLLS),
        (Attack.STRIKE_IN, None, 0),
        (Attack.ON_THE_BEAT, None, 0),
        (Attack.STRIKE_IN, 4, 4),
    ],
)
def test_the_first_attack_of_a_set_is_its_introduction(
    attack: Attack | None, own: int | None, beats: int
) -> None:
    entry = Entry("a", tempo_bpm=60, attack=attack)
    a_set = Set("s", 1, "One", (entry,), introduction_beats=own)
    timetable = time_set(a_set, TUNES, BOOK, CONCERT)
    assert timetable.length_of(Kind.INTRODUCTION) == beats
    assert timetable.length() == beats + 32


def test_rolls_inside_a_set_belong_to_the_join_and_are_at_the_next_tempo() -> None:
    entries = (
        Entry("a", tempo_bpm=60, pause_after_s=2),
        Entry("b", tempo_bpm=120, attack=Attack.ROLLS),
    )
    timetable = time_set(Set("s", 1, "Two", entries, introduction_beats=0), TUNES, BOOK, CONCERT)
    assert timetable.length_of(Kind.JOIN) == 2 + Fraction(ROLLS * 60, 120)
    assert timetable.length() == sum(timetable.length_of(kind) for kind in Kind)


def test_a_set_played_again_goes_straight_on_into_its_first_tune() -> None:
    entry = Entry("a", tempo_bpm=60, attack=Attack.ROLLS)
    again = time_set(Set("s", 1, "Twice", (entry,), times_through=2), TUNES, BOOK, CONCERT)
    assert again.length() == ROLLS + 64
