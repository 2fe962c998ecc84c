"""Lengths that add up, starts by the clock, and open ends."""

from datetime import time
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.errors import RequestError
from planner.event.entry_time import stopping_places
from planner.event.event import Clock, Entry, Event, Item, Occasion, Set, Setting, Sort
from planner.event.timetable import (
    Kind,
    introduction_beats,
    lengths_with_nerves,
    time_event,
    time_set,
)
from planner.music.tempo import Metre
from planner.music.tune import outline
from planner.rules.load import load_rulebook

BOOK = load_rulebook()
STREET = Setting(Occasion.PARADE, Sort.OWN_BAND)
GATE = outline("The Garden Gate", Metre(2, 4), ((8, 2), (8, 2)))
KETTLE = outline("The Kettle", Metre(6, 8), ((8, 1), (8, 2)))
ODD = outline("The Odd One", Metre(2, 4), ((8, 1),), idiom="wail")
TUNES = {"gate": GATE, "kettle": KETTLE, "odd": ODD}

tempos = st.floats(40, 200).map(lambda bpm: round(bpm, 1))
pauses = st.floats(0, 30).map(lambda seconds: round(seconds, 3))
entries = st.builds(
    Entry,
    tune_key=st.sampled_from(["gate", "kettle"]),
    tempo_bpm=tempos,
    times_through=st.integers(0, 4),
    pause_after_s=pauses,
)
sets = st.builds(
    Set,
    key=st.just("one"),
    number=st.just(1),
    name=st.just("Set one"),
    entries=st.lists(entries, min_size=1, max_size=4).map(tuple),
    introduction_beats=st.integers(0, 16),
)


def a_set(*played: Entry, **extra) -> Set:
    return Set("one", 1, "Set one", played, **extra)


def an_event(*items: Item, step_off: time | None = time(14, 0)) -> Event:
    return Event("e", "Gala", STREET, clock=Clock(step_off=step_off), items=items)


def test_a_street_set_starts_with_two_three_pace_rolls_of_eight_beats():
    timetable = time_set(a_set(Entry("gate", tempo_bpm=80)), TUNES, BOOK, STREET)
    assert timetable.length_of(Kind.INTRODUCTION) == 6


@pytest.mark.parametrize(
    ("setting", "beats"),
    [
        (STREET, 8),
        (Setting(Occasion.COMPETITION, Sort.MEDLEY), 8),
        (Setting(Occasion.DANCE, Sort.FLOOR), 16),
        (Setting(Occasion.EXHIBITION, Sort.STANDING), 8),
        (Setting(Occasion.EXHIBITION, Sort.SOLO), 0),
    ],
)
def test_the_occasion_sets_the_introduction(setting, beats):
    assert introduction_beats(a_set(), BOOK, setting) == beats


def test_a_set_s_own_introduction_wins():
    assert introduction_beats(a_set(introduction_beats=4), BOOK, STREET) == 4


def test_a_set_tagged_for_another_occasion_takes_that_introduction():
    assert introduction_beats(a_set(occasion=Occasion.DANCE), BOOK, STREET) == 16


@settings(max_examples=40)
@given(sets)
def test_a_set_is_its_introduction_its_tunes_and_its_joins(one):
    timetable = time_set(one, TUNES, BOOK, STREET)
    parts = [timetable.length_of(kind) for kind in Kind]
    assert sum(parts) == timetable.length()
    assert timetable.length_of(Kind.JOIN) == sum(
        Fraction(str(entry.pause_after_s)) for entry in one.entries[:-1]
    )


@settings(max_examples=40)
@given(st.lists(st.tuples(sets, pauses), min_size=1, max_size=4))
def test_an_event_is_its_sets_and_the_gaps_between(chosen):
    by_key = {str(place): one for place, (one, _) in enumerate(chosen)}
    items = [Item(str(place), gap_after_s=gap) for place, (_, gap) in enumerate(chosen)]
    timetable = time_event(an_event(*items), by_key, TUNES, BOOK)
    lengths = [time_set(one, TUNES, BOOK, STREET).length() for one, _ in chosen]
    gaps = [Fraction(str(gap)) for _, gap in chosen[:-1]]
    assert timetable.length == sum(lengths) + sum(gaps)


@settings(max_examples=40)
@given(sets, st.floats(1.0, 2.0).map(lambda factor: Fraction(str(round(factor, 3)))))
def test_faster_is_never_longer(one, ratio):
    timetable = time_set(one, TUNES, BOOK, STREET)
    assert timetable.length(ratio) <= timetable.length()


@settings(max_examples=40)
@given(sets)
def test_nerves_bracket_the_planned_length_and_leave_silence_alone(one):
    timetable = time_set(one, TUNES, BOOK, STREET)
    lengths = lengths_with_nerves(timetable, BOOK)
    assert lengths.quicker < lengths.planned < lengths.slower
    silence = timetable.length_of(Kind.JOIN)
    assert (lengths.slower - silence) * Fraction("0.97") == lengths.planned - silence


@settings(max_examples=40)
@given(sets, st.integers(2, 3))
def test_a_set_played_again_has_one_introduction_and_joins_between(one, rounds):
    once = time_set(one, TUNES, BOOK, STREET)
    again = time_set(a_set(*one.entries * rounds, introduction_beats=one.introduction_beats), TUNES,
                     BOOK, STREET)  # fmt: skip
    repeated = Set("one", 1, "Set one", one.entries, None, rounds, one.introduction_beats)
    assert time_set(repeated, TUNES, BOOK, STREET).length() == again.length()
    assert again.length() >= once.length()


def test_sets_start_by_the_clock_one_after_the_other():
    sets_by_key = {"one": a_set(Entry("gate", tempo_bpm=80), introduction_beats=16)}
    event = an_event(Item("one", gap_after_s=30), Item(text="drums only", seconds=45), Item("one"))
    timetable = time_event(event, sets_by_key, TUNES, BOOK)
    assert [slot.start for slot in timetable.slots] == [
        time(14, 0), time(14, 1, 30), time(14, 2, 15)
    ]  # fmt: skip
    assert timetable.end == time(14, 3, 15)


def test_a_fixed_start_moves_the_rest():
    items = (Item(text="speech", seconds=60), Item(text="flag", seconds=30, start=time(14, 30)))
    timetable = time_event(an_event(*items, Item(text="end", seconds=5)), {}, {}, BOOK)
    assert [slot.start for slot in timetable.slots][1:] == [time(14, 30), time(14, 30, 30)]


def test_the_clock_runs_past_midnight():
    timetable = time_event(
        an_event(Item(text="x", seconds=120), step_off=time(23, 59)), {}, {}, BOOK
    )
    assert timetable.end == time(0, 1)


def test_without_a_step_off_there_are_lengths_but_no_times():
    timetable = time_event(an_event(Item(text="x", seconds=120), step_off=None), {}, {}, BOOK)
    assert timetable.seconds == 120
    assert timetable.slots[0].start is None


def test_what_lasts_until_the_cue_is_open_ended_and_nothing_after_it_has_a_time():
    sets_by_key = {"one": a_set(Entry("gate", tempo_bpm=80, times_through=0))}
    timetable = time_event(an_event(Item("one"), Item("one")), sets_by_key, TUNES, BOOK)
    assert timetable.is_open_ended
    assert timetable.slots[0].start == time(14, 0)
    assert timetable.slots[0].end is None
    assert timetable.slots[1].start is None
    assert timetable.end is None


def test_an_open_ended_tune_names_its_stopping_places():
    places = stopping_places(Entry("kettle", times_through=0), KETTLE)
    assert [(place.words, place.beats) for place in places] == [
        ("end of part 1", 16),
        ("end of part 2, time 1", 32),
        ("end of part 2, time 2", 48),
    ]
    timetable = time_set(a_set(Entry("kettle", tempo_bpm=80, times_through=0)), TUNES, BOOK, STREET)
    assert timetable.stops == places


def test_an_open_ended_set_is_counted_once():
    entry = Entry("gate", tempo_bpm=80)
    once = time_set(a_set(entry), TUNES, BOOK, STREET)
    open_ended = time_set(a_set(entry, times_through=0), TUNES, BOOK, STREET)
    assert open_ended.is_open_ended
    assert open_ended.length() == once.length()


@pytest.mark.parametrize(
    ("entry", "sentence"),
    [
        (Entry("odd"), "The Odd One: has no tempo, and 'wail' gives none"),
        (Entry("gate", tempo_bpm=0), "tempo: 0 is not above zero"),
        (Entry("gate", tempo_bpm=80, times_through=-1), "is played a negative number of times"),
        (Entry("gate", tempo_bpm=80, parts=(3,)), "has no part 3; choose parts 1 to 2"),
        (Entry("gate", tempo_bpm=80, pause_after_s=-2), "pause: -2 is below zero"),
        (Entry("lost", tempo_bpm=80), "there is no tune 'lost'"),
    ],
)
def test_an_entry_that_makes_no_sense_is_refused_in_one_sentence(entry, sentence):
    with pytest.raises(RequestError, match=sentence):
        time_set(a_set(entry), TUNES, BOOK, STREET)


@pytest.mark.parametrize(
    ("item", "sentence"),
    [
        (Item("lost"), "running order: there is no set 'lost'"),
        (Item(text="speech", seconds=-1), "speech: -1 is below zero"),
        (Item(text="speech", gap_after_s=-1), "gap after: -1 is below zero"),
    ],
)
def test_an_item_that_makes_no_sense_is_refused_in_one_sentence(item, sentence):
    with pytest.raises(RequestError, match=sentence):
        time_event(an_event(item), {}, TUNES, BOOK)


def test_a_set_without_tunes_lasts_no_time():
    assert time_set(a_set(), TUNES, BOOK, STREET).length() == 0


def test_a_set_for_a_dance_takes_the_introduction_of_the_dance():
    # Half Tulloch: 8 bars of two beats; a team strathspey: 4 bars of four.
    assert introduction_beats(a_set(dance="half-tulloch"), BOOK, STREET) == 16
    assert introduction_beats(a_set(dance="strathspey-and-half-tulloch"), BOOK, STREET) == 16
    assert introduction_beats(a_set(dance="country-reel"), BOOK, STREET) == 0
