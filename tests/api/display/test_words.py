from datetime import date, datetime, time
from fractions import Fraction

import pytest

from api.display.words import (
    addresses_in_words,
    beats_a_minute,
    clock_words,
    counted,
    day_words,
    join_words,
    length_words,
    metre_words,
    parts_played,
    sentence,
    shift_words,
    tempo_words,
    times_through,
    version_words,
)
from planner.event.event import Entry
from planner.music.tempo import Metre
from planner.music.tune import Address


def at(part: int, bar: int, beat: int = 1, ending: int = 0) -> Address:
    return Address(part, bar, ending, Fraction(beat))


@pytest.mark.parametrize(("bpm", "words"), [(84, "84"), (84.5, "84.5"), (84.04, "84")])
def test_a_tempo_is_said_without_needless_figures(bpm: float, words: str) -> None:
    assert tempo_words(bpm) == words


def test_the_tempo_counts_what_the_foot_marks() -> None:
    assert beats_a_minute([Metre(6, 8)]) == "dotted crotchets a minute"
    assert beats_a_minute([Metre(2, 4), Metre(6, 8)]) == "beats a minute"


def test_common_and_cut_time_are_named() -> None:
    assert metre_words(Metre(4, 4, "C")) == "common time"
    assert metre_words(Metre(2, 2, "C|")) == "cut time"
    assert metre_words(Metre(9, 8)) == "9/8"


@pytest.mark.parametrize(
    ("count", "words"),
    [(0, "until the cue"), (1, "once through"), (2, "twice through"), (5, "5 times through")],
)
def test_times_through_are_said_in_words(count: int, words: str) -> None:
    assert times_through(count) == words


def test_parts_left_out_are_told_by_naming_those_that_are_played() -> None:
    assert parts_played(Entry("x"), 4) == "4 parts"
    assert parts_played(Entry("x", parts=(1, 2)), 4) == "parts 1 and 2"


def test_a_shift_has_a_direction_in_words() -> None:
    assert shift_words(35.2) == "35 ms later"
    assert shift_words(-20) == "20 ms earlier"


def test_the_same_beat_of_several_bars_is_one_address() -> None:
    assert addresses_in_words([at(1, 5), at(1, 1)]) == "part 1, bars 1 and 5, beat 1"
    assert addresses_in_words([at(1, 1), at(2, 3, 2)]) == (
        "part 1, bar 1, beat 1; part 2, bar 3, beat 2"
    )


def test_parts_that_have_the_same_bars_are_said_together() -> None:
    four = [at(part, bar) for part in (1, 2, 3, 4) for bar in (2, 6)]
    assert addresses_in_words(four) == "parts 1 to 4, bars 2 and 6, beat 1"
    assert addresses_in_words([at(1, 3), at(4, 3), at(2, 5)]) == (
        "parts 1 and 4, bar 3, beat 1; part 2, bar 5, beat 1"
    )


def test_an_ending_keeps_its_number_beside_the_bar() -> None:
    addresses = [at(1, 7), at(1, 8, ending=1)]
    assert addresses_in_words(addresses) == "part 1, bars 7 and 8 (ending 1), beat 1"


def test_lists_and_counts_read_as_speech() -> None:
    assert join_words(["Isla", "Jo", "Sam"]) == "Isla, Jo and Sam"
    assert join_words([]) == ""
    assert counted(1, "mark") == "one mark"
    assert counted(12, "mark") == "12 marks"


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(45.4, "45 s"), (59.6, "1 min"), (180, "3 min"), (200, "3 min 20 s")],
)
def test_lengths_are_minutes_and_seconds(seconds: float, words: str) -> None:
    assert length_words(seconds) == words


def test_clock_and_calendar_are_said_as_on_the_wall() -> None:
    assert clock_words(time(9, 5)) == "09:05"
    assert day_words(date(2031, 6, 14)) == "Saturday 14 June 2031"
    assert clock_words(None) == day_words(None) == ""


def test_a_sheet_tells_its_version_and_when_it_was_made() -> None:
    made_at = datetime(2031, 6, 12, 18, 4)
    assert version_words(3, made_at) == "version 3, made 12 Jun 2031 18:04"


def test_a_sentence_gets_one_capital_and_one_full_stop() -> None:
    assert sentence("hold the D") == "Hold the D."
    assert sentence("Hold the D.") == "Hold the D."
