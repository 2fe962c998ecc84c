"""The noise dose: laws, words and what is refused."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.errors import RequestError
from planner.event.sound import (
    Exposure,
    average_of_dose,
    cautions,
    dose_percent,
    level_of_minutes,
    minutes_to_value,
    reaches,
    sound_dose,
)
from planner.rules.load import load_rulebook

BOOK = load_rulebook()
LEVELS = st.floats(60, 120)
LIMITS = st.sampled_from(["niosh", "eu-lower", "eu-upper", "eu-limit"])


@given(LEVELS, LIMITS)
def test_three_decibels_more_halve_the_minutes(level, limit):
    louder = minutes_to_value(level + 3, limit, BOOK)
    assert minutes_to_value(level, limit, BOOK) == pytest.approx(2 * louder)


@given(LEVELS, LIMITS)
def test_a_level_and_its_minutes_belong_together(level, limit):
    minutes = minutes_to_value(level, limit, BOOK)
    assert level_of_minutes(minutes, limit, BOOK) == pytest.approx(level)
    assert dose_percent([Exposure(level, minutes)], limit, BOOK) == pytest.approx(100)


@given(st.lists(st.builds(Exposure, LEVELS, st.floats(0, 300)), max_size=5))
def test_doses_of_a_day_add_up(exposures):
    each = sum(dose_percent([one], "niosh", BOOK) for one in exposures)
    assert dose_percent(exposures, "niosh", BOOK) == pytest.approx(each)


def test_the_sentence_says_when_the_value_is_reached_and_never_that_it_is_safe():
    texts = [sound_dose(level, BOOK).text for level in range(40, 130)]
    assert sound_dose(94, BOOK).text.endswith("the sound reaches the daily value after 60 min.")
    assert all("daily value" in text for text in texts)
    assert not any("safe" in text.lower() for text in texts)


def test_less_than_a_minute_is_said_in_seconds():
    assert reaches(0.5) == "the sound reaches the daily value after 30 s."


def test_the_european_limit_says_that_it_counts_protection_and_the_sum_does_not():
    with_limit = sound_dose(94, BOOK, limit="eu-limit")
    assert any("counts ear protection" in note and "does not" in note for note in with_limit.notes)
    assert not any("ear protection" in note for note in sound_dose(94, BOOK).notes)


def test_every_answer_asks_for_a_measured_average_and_defers_to_doctors():
    notes = sound_dose(94, BOOK).notes
    assert any("measured average" in note for note in notes)
    assert any("medical advice" in note for note in notes)


def test_without_minutes_there_is_no_dose():
    assert sound_dose(94, BOOK).dose_percent is None
    assert sound_dose(94, BOOK, minutes=0).dose_percent == 0


def test_the_usual_cautions_defer_to_those_who_know_better():
    words = cautions(BOOK)
    assert {"heat", "water", "footing", "hygiene", "dancers_tempo"} <= set(words)
    deferring = ("rules", "marshals", "medical", "doctor", "their word")
    assert all(any(word in text.lower() for word in deferring) for text in words.values())


@pytest.mark.parametrize("level", [0, -20, 29, 141, float("nan"), float("inf")])
def test_a_level_that_cannot_be_an_average_is_refused(level):
    with pytest.raises(RequestError, match=r"level: .* cannot be an average level at a player's"):
        sound_dose(level, BOOK)


def test_negative_minutes_are_refused():
    with pytest.raises(RequestError, match="minutes: -5 is below zero"):
        sound_dose(94, BOOK, minutes=-5)


def test_an_unknown_limit_is_refused_with_the_known_ones():
    with pytest.raises(RequestError, match="no limit 'osha'; choose niosh, eu-lower, eu-upper"):
        sound_dose(94, BOOK, limit="osha")


def test_no_dose_has_no_average():
    with pytest.raises(RequestError, match="dose: 0 has no average"):
        average_of_dose(0, "niosh", BOOK)


def test_no_minutes_have_no_level():
    with pytest.raises(RequestError, match="minutes: 0 is not above zero"):
        level_of_minutes(0, "niosh", BOOK)
