"""Which tunes fit a dance, and what does not suit it.

The Half Tulloch is four two-part reels, or 8 parts of 8 bars; a four-part strathspey played once
covers four steps, two two-part reels each played twice cover eight: D. MacPhee, Piping for Dancing
part 2, 2020; Highland Dance: le Team Dance, bagpipe.it, 2008.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.event.dance import find_dance
from planner.event.dancing.checks import check_dance, tempo_range
from planner.event.dancing.tunes import fitting, tunes_for_dance
from planner.event.entry_time import played_beats
from planner.event.event import Entry, Occasion, Set, Setting, Sort
from planner.event.timetable import time_set
from planner.music.tempo import Metre
from planner.music.tune import Tune, outline
from planner.rules.load import load_rulebook

BOOK = load_rulebook()
TEAM = find_dance("strathspey-and-half-tulloch", BOOK)


def tune(title: str, idiom: str, metre: Metre, *parts: tuple[int, int]) -> Tune:
    return outline(title, metre, parts, idiom=idiom)


STRATHSPEY = tune("The Slow Mill", "strathspey", Metre(4, 4), *[(8, 1)] * 4)
REEL = tune("The Quick Mill", "pointed reel", Metre(2, 2), *[(8, 2)] * 2)
IN_FOUR = tune("The Plain Mill", "round reel", Metre(4, 4), *[(8, 1)] * 2)
LONG = tune("The Long Mill", "round reel", Metre(2, 2), *[(8, 2)] * 3)
ODD = tune("The Odd Mill", "round reel", Metre(2, 2), (7, 1))
JIG = tune("The Wet Mill", "jig", Metre(6, 8), *[(8, 2)] * 2)
ALL = {each.title: each for each in (STRATHSPEY, REEL, IN_FOUR, LONG, ODD, JIG)}


def test_the_tunes_of_each_tempo_are_named_with_the_times_through():
    slow, quick = tunes_for_dance(TEAM, (4, 8), ALL)
    assert (slow.bars, quick.bars) == (32, 64)
    assert [(each.title, each.words) for each in slow.fitting] == [
        ("The Slow Mill", "once through")
    ]
    assert [(each.title, each.words) for each in quick.fitting] == [
        ("The Quick Mill", "twice through"),
        ("The Plain Mill", "4 times through"),
        ("The Long Mill", "once, then to the end of part 1, time 2"),
    ]
    assert quick.others == ("The Odd Mill",)


def test_a_tune_longer_than_the_dance_is_stopped_at_the_end_of_a_part():
    short = fitting("x", LONG, 32)
    assert short is not None
    assert short.words == "to the end of part 2, time 2"
    assert fitting("x", LONG, 20) is None


def test_a_dance_without_a_type_of_tune_names_none():
    (any_type,) = tunes_for_dance(find_dance("blue-bonnets", BOOK), (4,), ALL)
    assert any_type.fitting == ()


@given(st.integers(1, 6), st.integers(1, 3), st.integers(1, 200))
def test_what_fits_makes_the_bars_and_nothing_else_does(parts, times, bars):
    one = outline("One", Metre(2, 2), tuple((8, times) for _ in range(parts)), idiom="reel")
    found = fitting("x", one, bars)
    assert (found is not None) == (bars % 8 == 0)
    if found is not None and found.times_through and not found.stop:
        entry = Entry("x", times_through=found.times_through)
        assert played_beats(entry, one) / one.metre.beats_per_bar == bars


def said(
    *entries: Entry, dance: str = "strathspey-and-half-tulloch", steps=(4, 8)
) -> dict[str, str]:
    a_set = Set("s", 1, "Team", entries, dance=dance, steps=steps)
    timed = time_set(a_set, ALL, BOOK, Setting(Occasion.DANCE, Sort.FLOOR))
    return {found.code: found.text for found in check_dance(a_set, timed, ALL, BOOK)}


SLOW = Entry("The Slow Mill", tempo_bpm=120)


def test_a_dance_at_its_tempos_with_its_types_has_no_findings():
    assert said(SLOW, Entry("The Quick Mill", tempo_bpm=100, times_through=2)) == {}


@pytest.mark.parametrize(
    ("bpm", "is_right"), [(97.5, True), (102.5, True), (97.4, False), (103, False)]
)
def test_a_tempo_without_a_range_may_differ_by_the_tolerance_alone(bpm, is_right):
    found = said(SLOW, Entry("The Quick Mill", tempo_bpm=bpm, times_through=2))
    assert ("dance_tempo" not in found) == is_right
    if not is_right:
        assert "danced at 97.5 to 102.5 in its quick time" in found["dance_tempo"]
        assert found["dance_tempo"].endswith("Agree it with the dancers or their teacher.")


def test_a_range_on_record_goes_before_the_tolerance():
    half = find_dance("half-tulloch", BOOK).tempos[0].tempo
    assert half is not None
    assert tempo_range(half, BOOK) == (100, 108)  # D. MacPhee, 2020


def test_a_tune_of_another_type_is_told():
    found = said(SLOW, Entry("The Wet Mill", tempo_bpm=100, times_through=2))
    assert found["dance_tune_type"].startswith(
        "The Wet Mill is a jig, and Strathspey and Half Tulloch, quick time, wants a reel."
    )


def test_a_dance_of_which_no_tempo_is_on_record_lets_the_dancers_choose():
    hornpipe = {"dance": "sailors-hornpipe", "steps": (4,)}
    assert "dance_tempo" not in said(Entry("The Wet Mill", tempo_bpm=100), **hornpipe)
