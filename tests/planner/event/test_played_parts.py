"""Which parts of a tune a set plays, in which order, and how often each."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.analysis.phrases import grouping_of, shape_part
from planner.errors import RequestError
from planner.event.entry_time import played_beats, stopping_places
from planner.event.event import CutOff, Entry
from planner.event.played_parts import as_played, parts_text, read_parts
from planner.music.tempo import Metre
from planner.music.tune import outline
from planner.rules.load import load_rulebook
from tests.builders import tune

# Part 1 is repeated with two endings, part 2 is repeated without, part 3 is played once.
THREE = tune(
    "2/4 |: A4 | B4 |1 c4 :|2 d4 || |: e4 | f4 :| g4 | a4 |]", title="Three Parts", length="1/8"
)


def notes_of(entry: Entry) -> str:
    bars = as_played(entry, THREE).played_bars()
    return " ".join(str(note.pitch.name) for bar in bars for note in bar.notes if note.pitch)


def test_played_as_printed_it_is_the_tune_itself() -> None:
    assert as_played(Entry("x"), THREE) is THREE
    assert as_played(Entry("x", parts=(1, 2, 3)), THREE) == THREE


@pytest.mark.parametrize(
    ("parts", "times", "heard"),
    [
        ((1,), (), "low A B C low A B D"),
        # common practice: the only time is the last time, which has the last ending
        ((1,), (1,), "low A B D"),
        ((1,), (3,), "low A B C low A B C low A B D"),
        ((2,), (1,), "E F"),
        ((3,), (2,), "high G high A high G high A"),
        ((3, 1), (0, 1), "high G high A low A B D"),
        ((1, 3, 1), (0, 0, 1), "low A B C low A B D high G high A low A B D"),
    ],
)
def test_each_part_comes_in_its_turn_and_as_often_as_said(
    parts: tuple[int, ...], times: tuple[int, ...], heard: str
) -> None:
    assert notes_of(Entry("x", parts=parts, part_times=times)) == heard


def test_parts_keep_their_printed_numbers_and_endings() -> None:
    played = as_played(Entry("x", parts=(3, 1), part_times=(0, 1)), THREE)
    assert [part.number for part in played.parts] == [1, 3]
    assert [(bar.number, bar.ending) for bar in played.parts[0].bars] == [(1, 0), (2, 0), (3, 2)]


def test_phrases_that_somebody_set_stay_with_their_parts() -> None:
    said = replace(THREE, phrase_starts=((1,), (2,), (1, 2)))
    assert as_played(Entry("x", parts=(3, 1)), said).phrase_starts == ((1,), (1, 2))
    assert as_played(Entry("x"), said).phrase_starts == ((1,), (2,), (1, 2))


@given(
    st.lists(st.tuples(st.integers(1, 2), st.integers(1, 4)), min_size=1, max_size=6),
    st.integers(1, 3),
)
def test_time_is_the_sum_of_what_is_played(turns: list[tuple[int, int]], times: int) -> None:
    # Worked out on paper: a part of 8 bars of 2 beats and one of 4, so many times each.
    short = outline("Two Lengths", Metre(2, 4), ((8, 2), (4, 1)))
    entry = Entry(
        "x",
        times_through=times,
        parts=tuple(part for part, _ in turns),
        part_times=tuple(count for _, count in turns),
    )
    beats = sum({1: 16, 2: 8}[part] * count for part, count in turns)
    assert played_beats(entry, short) == beats * times


def test_stopping_places_follow_the_turns() -> None:
    entry = Entry("x", times_through=0, parts=(3, 2, 3), part_times=(0, 1, 2))
    assert [(place.words, place.beats) for place in stopping_places(entry, THREE)] == [
        ("end of part 3", Fraction(4)),
        ("end of part 2", Fraction(8)),
        ("end of part 3, time 1", Fraction(12)),
        ("end of part 3, time 2", Fraction(16)),
    ]


@pytest.mark.parametrize(
    ("typed", "parts", "times"),
    [
        ("", (), ()),
        ("1, 2", (1, 2), ()),
        ("1 2 4", (1, 2, 4), ()),
        ("1 once, 2, 1 Four  Times", (1, 2, 1), (1, 0, 4)),
    ],
)
def test_parts_are_read_as_they_are_typed(
    typed: str, parts: tuple[int, ...], times: tuple[int, ...]
) -> None:
    assert read_parts(typed) == (parts, times)
    assert read_parts(parts_text(Entry("x", parts=parts, part_times=times))) == (parts, times)


@pytest.mark.parametrize(
    ("entry", "sentence"),
    [
        (Entry("x", parts=(4,)), "Three Parts: has no part 4; choose parts 1 to 3"),
        (Entry("x", part_times=(1,)), "more counts than parts"),
        (Entry("x", parts=(1,), part_times=(9,)), "a part cannot be played 9 times"),
    ],
)
def test_what_cannot_be_played_is_said_in_one_sentence(entry: Entry, sentence: str) -> None:
    with pytest.raises(RequestError, match=sentence):
        as_played(entry, THREE)


def test_words_that_are_no_part_are_said() -> None:
    with pytest.raises(RequestError, match="'1 often' is no part of a tune"):
        read_parts("1 often")


@pytest.mark.parametrize(
    ("cut_off", "words"),
    [
        (None, ["end of part 2, time 1", "end of part 2, time 2", "end of part 3"]),
        (CutOff.END_OF_REPEAT, ["end of part 2, time 1", "end of part 2, time 2", "end of part 3"]),
        (CutOff.END_OF_PART, ["end of part 2, time 2", "end of part 3"]),
        (CutOff.END_OF_TUNE, ["end of part 3"]),
    ],
)
def test_the_cut_off_says_where_a_stop_may_fall(cut_off: CutOff | None, words: list[str]) -> None:
    entry = Entry("x", times_through=0, parts=(2, 3), cut_off=cut_off)
    assert [place.words for place in stopping_places(entry, THREE)] == words


def test_phrases_set_by_hand_and_the_harmony_go_with_the_parts_that_are_played() -> None:
    by_hand = replace(THREE, phrase_starts=((), (1, 2), (1,)), harmonies=(THREE.parts,))
    played = as_played(Entry("x", parts=(2, 3)), by_hand)
    grouping = grouping_of(played, load_rulebook())
    assert [grouping.is_set_by_hand(number) for number in (1, 2, 3)] == [False, True, True]
    assert [span.first_bar for span in shape_part(played.parts[0], grouping).phrases] == [1, 2]
    assert played.harmonies == (played.parts,)
