"""The sums of a dance, and what is refused."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.errors import RequestError
from planner.event.dance import (
    all_dances,
    bars_a_minute,
    dance_length,
    find_dance,
    is_ordered_by_category,
    read_steps,
    with_own_bars,
)
from planner.rules.load import load_rulebook
from planner.rules.rulebook import Status

BOOK = load_rulebook()
FLING = find_dance("highland-fling", BOOK)
TEAM = find_dance("strathspey-and-half-tulloch", BOOK)
TEMPOS = st.floats(40, 200)


# Plain arithmetic on values that are partly from memory (8 bars a step, 4 bars of introduction).
@pytest.mark.parametrize(
    ("name", "steps", "tempos", "introduction", "seconds"),
    [
        ("highland-fling", (6,), (114,), 4, 109.5),
        ("highland-fling", (6,), (110,), 4, 113.5),
        ("highland-fling", (4,), (114,), 4, 75.8),
        ("seann-triubhas", (3, 1), (94, 114), 0, 78.1),
        ("irish-jig", (4,), (108,), 8, 80.0),
        ("irish-jig", (4,), (113.7,), 8, 76.0),
        ("highland-fling", (6,), (110.4,), 4, 113.0),
        ("highland-fling", (6,), (105.8,), 4, 118.0),
        ("circassian-circle", (32,), (120,), 4, 260.0),
        ("eightsome-reel", (8,), (108,), 8, 480.0),
    ],
)
def test_a_dance_lasts_its_bars_at_its_tempo(name, steps, tempos, introduction, seconds):
    got = dance_length(find_dance(name, BOOK), steps, tempos, BOOK, introduction)
    assert got.seconds == pytest.approx(seconds, abs=0.05)


@pytest.mark.parametrize(
    ("name", "steps", "bar"),
    [("seann-triubhas", (3, 1), 25), ("seann-triubhas", (4, 2), 33), ("sword-dance", (2, 1), 17)],
)
def test_quick_time_begins_after_the_last_slow_step_not_counting_the_introduction(name, steps, bar):
    assert dance_length(find_dance(name, BOOK), steps, (94, 114), BOOK, 4).quick_from_bar == bar


def test_a_dance_of_one_tempo_has_no_quick_time():
    assert dance_length(FLING, (6,), (110,), BOOK).quick_from_bar is None


def test_the_introduction_goes_at_the_first_tempo():
    without = dance_length(TEAM, (4, 8), (120, 100), BOOK, 0)
    assert dance_length(TEAM, (4, 8), (120, 100), BOOK, 4).length - without.length == 8


def test_the_tolerance_is_two_and_a_half_per_cent_on_the_tempo():
    got = dance_length(FLING, (6,), (100,), BOOK)
    assert got.shortest_s == pytest.approx(dance_length(FLING, (6,), (102.5,), BOOK).seconds)
    assert got.longest_s == pytest.approx(dance_length(FLING, (6,), (97.5,), BOOK).seconds)


@given(st.integers(0, 20), st.integers(1, 20), TEMPOS, TEMPOS, st.integers(0, 16))
def test_bars_and_seconds_add_up(slow, quick, slow_bpm, quick_bpm, before):
    got = dance_length(TEAM, (slow, quick), (slow_bpm, quick_bpm), BOOK, before)
    assert got.bars == before + 8 * slow + 8 * quick
    expected = (before + 8 * slow) * 240 / slow_bpm + 8 * quick * 120 / quick_bpm
    assert got.seconds == pytest.approx(expected)


@given(TEMPOS, st.floats(1.0, 2.0))
def test_a_quicker_dance_is_never_longer(tempo, factor):
    quicker = dance_length(FLING, (6,), (tempo * factor,), BOOK)
    assert quicker.length <= dance_length(FLING, (6,), (tempo,), BOOK).length


@pytest.mark.parametrize("dance", all_dances(BOOK), ids=lambda dance: dance.name)
def test_every_dance_on_record_can_be_reckoned_once_its_unknowns_are_given(dance):
    known = with_own_bars(dance, beats_per_bar=2)
    steps = dance.usual_steps[0] if dance.usual_steps else (4,) * len(dance.tempos)
    assert dance_length(known, steps, (100,) * len(dance.tempos), BOOK).seconds > 20
    assert dance.name == dance.name.lower()
    assert " " not in dance.name
    assert "_" not in dance.name


@pytest.mark.parametrize("dance", all_dances(BOOK), ids=lambda dance: dance.name)
def test_a_usual_tempo_lies_in_its_own_range_and_is_never_from_memory(dance):
    for rule in [each.tempo for each in dance.tempos if each.tempo]:
        assert rule.status is not Status.FROM_MEMORY
        assert (rule.low or 0) <= rule.value <= (rule.high or 999)


def test_longer_turns_are_the_caller_s_to_say():
    reel = with_own_bars(find_dance("country-reel", BOOK), bars_per_step=48)
    assert dance_length(reel, (8,), (116,), BOOK).bars == 384


def test_a_dance_is_found_by_its_name_as_people_write_it():
    assert find_dance("Half Tulloch", BOOK) == find_dance("half_tulloch", BOOK)


@pytest.mark.parametrize(
    ("text", "steps"),
    [("6", ((6,), None)), ("3+1", ((3, 1), None)), ("8x32", ((8,), 32)), ("8 X 48", ((8,), 48))],
)
def test_steps_are_read_as_people_write_them(text, steps):
    assert read_steps(text) == steps


@pytest.mark.parametrize("text", ["", "six", "3+", "-4", "8x", "4.5", "²"])
def test_steps_that_are_no_number_are_refused(text):
    with pytest.raises(RequestError, match="is no number of steps; give 6, 3\\+1 or 8x32"):
        read_steps(text)


@pytest.mark.parametrize(
    ("dance", "steps", "tempos", "sentence"),
    [
        (FLING, (6,), (), "tempo: Highland Fling has 1 tempo, 0 given; give .* usually 114"),
        (FLING, (6,), (114, 100), "tempo: Highland Fling has 1 tempo, 2 given"),
        (TEAM, (4, 8), (120,), "has 2 tempos, 1 given; give .* usually 120,100"),
        (FLING, (6,), (0,), "tempo: 0 is not above zero"),
        (FLING, (6,), (-114,), "tempo: -114 is not above zero"),
        (FLING, (0,), (114,), "steps: 0 cannot be danced; give one number of steps"),
        (FLING, (-6,), (114,), "steps: -6 cannot be danced"),
        (FLING, (3, 1), (114,), "Highland Fling takes one number of steps, not 3\\+1"),
        (TEAM, (4,), (120, 100), "takes slow and quick steps, such as 3\\+1, not 4"),
        (TEAM, (100_000, 1), (120, 100), "100000\\+1 cannot be danced"),
        (find_dance("sailors-hornpipe", BOOK), (6,), (), "none is on record"),
        (
            find_dance("blue-bonnets", BOOK),
            (4,),
            (100,),
            "beats a bar: none are on record for Blue",
        ),
    ],
)
def test_a_dance_that_makes_no_sense_is_refused_in_one_sentence(dance, steps, tempos, sentence):
    with pytest.raises(RequestError, match=sentence):
        dance_length(dance, steps, tempos, BOOK)


def test_a_negative_introduction_is_refused():
    with pytest.raises(RequestError, match="introduction: -4 is below zero"):
        dance_length(FLING, (6,), (114,), BOOK, -4)


def test_a_zero_tempo_has_no_bars_a_minute():
    with pytest.raises(RequestError, match="tempo: 0 is not above zero"):
        bars_a_minute(FLING, 0)


def test_a_turn_of_no_bars_is_refused():
    with pytest.raises(RequestError, match="bars a step: 0 is not above zero"):
        with_own_bars(FLING, bars_per_step=0)


def test_an_unknown_dance_is_answered_with_the_nearest_names():
    with pytest.raises(
        RequestError, match="no dance 'higland-fling' on record; choose highland-fl"
    ):
        find_dance("higland-fling", BOOK)


def test_stronger_dancers_want_a_slower_tune():
    assert is_ordered_by_category((124, 120, 120, 114))
    assert not is_ordered_by_category((114, 120))
