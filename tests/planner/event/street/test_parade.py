"""Paces, metres and minutes on the street."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.errors import RequestError
from planner.event.event import Entry, Event, Item, Occasion, Set, Setting, Sort
from planner.event.route import Route
from planner.event.street.parade import (
    cover_route,
    march,
    miles_an_hour,
    rate_for_speed,
    sound_delay,
)
from planner.event.timetable import EventTimetable, time_event
from planner.music.tempo import Metre
from planner.music.tune import outline
from planner.rules.load import load_rulebook

BOOK = load_rulebook()
STREET = Setting(Occasion.PARADE, Sort.OWN_BAND)
TUNES = {"gate": outline("The Garden Gate", Metre(2, 4), ((8, 2), (8, 2)))}
RATES = st.floats(40, 180)
PACES = st.floats(0.3, 1.2)


def street(*items: Item) -> EventTimetable:
    entry = Entry("gate", tempo_bpm=80)
    sets = {"one": Set("one", 1, "Set one", (entry,), introduction_beats=8)}
    return time_event(Event("e", "Gala", STREET, items=items), sets, TUNES, BOOK)


@given(RATES, PACES, st.floats(0.1, 600))
def test_metres_are_paces_times_pace(rate, pace, minutes):
    got = march(rate, pace, minutes=minutes)
    assert got.metres == pytest.approx(rate * minutes * pace)
    assert got.metres_per_minute == pytest.approx(rate * pace)


@given(RATES, PACES, st.floats(1, 20_000))
def test_a_distance_and_its_minutes_belong_together(rate, pace, metres):
    there = march(rate, pace, distance_m=metres)
    assert march(rate, pace, minutes=there.minutes).metres == pytest.approx(metres)


@given(RATES, st.floats(1.001, 2), PACES, st.floats(1, 20_000))
def test_a_quicker_band_never_walks_longer(rate, factor, pace, metres):
    own = march(rate, pace, distance_m=metres).minutes
    assert march(rate * factor, pace, distance_m=metres).minutes <= own


def test_four_miles_an_hour_needs_141_paces_of_30_inches():
    # The international mile is 1609.344 m, so 107.29 m a minute over 0.762 m.
    assert round(rate_for_speed(miles_an_hour(4), 0.762)) == 141


def test_a_column_of_twenty_metres_hears_the_front_58_ms_late():
    delay = sound_delay(20, 88, BOOK)
    assert round(delay.ms) == 58
    assert round(100 * delay.share_of_beat, 1) == 8.6


def test_a_route_says_how_often_the_order_fills_it_and_how_much_is_rest():
    # 54 s of playing and 66 s of rest make rounds of two minutes; 600 m at 60 m a minute are ten.
    plan = cover_route(Route(600, 0.75, 80), street(Item("one", gap_after_s=66)), BOOK)
    assert plan.walking_minutes == 10
    assert plan.rounds_to_fill == 5
    assert plan.rounds_needed == 5
    assert plan.playing_share == pytest.approx(54 / 600)
    assert plan.rest_share == pytest.approx(546 / 600)
    assert plan.playing_share_filled == pytest.approx(54 / 120)


def test_a_route_a_little_longer_needs_one_more_round():
    plan = cover_route(Route(601, 0.75, 80), street(Item("one", gap_after_s=66)), BOOK)
    assert plan.rounds_needed == 6


def test_a_route_without_music_is_all_rest():
    plan = cover_route(Route(600, 0.75, 80), street(), BOOK)
    assert plan.rounds_needed is None
    assert plan.rest_share == 1


@pytest.mark.parametrize(
    ("rate", "pace", "lengths", "sentence"),
    [
        (0, 0.762, {"minutes": 10}, "rate: 0 is not above zero; give the band's own paces"),
        (86, -0.762, {"minutes": 10}, "pace: -0.762 is not above zero"),
        (86, 0.762, {"minutes": -1}, "minutes: -1 is not above zero"),
        (86, 0.762, {"distance_m": 0}, "distance: 0 is not above zero"),
        (86, 0.762, {}, "distance: and minutes are both missing; give one of the two"),
        (86, 0.762, {"minutes": 1, "distance_m": 1}, "distance: is given beside minutes"),
        (float("nan"), 0.762, {"minutes": 1}, "rate: nan is not a number to reckon with"),
        (float("inf"), 0.762, {"minutes": 1}, "rate: inf is not a number to reckon with"),
    ],
)
def test_a_march_that_makes_no_sense_is_refused_in_one_sentence(rate, pace, lengths, sentence):
    with pytest.raises(RequestError, match=sentence):
        march(rate, pace, **lengths)


def test_a_column_of_negative_length_is_refused():
    with pytest.raises(RequestError, match="column: -5 is below zero"):
        sound_delay(-5, 88, BOOK)
