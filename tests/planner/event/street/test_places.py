"""Sounding at the saluting base, silent at the church: passed as wanted, or by how much not."""

from datetime import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.event.event import Clock, Entry, Event, Item, Occasion, Set, Setting, Sort
from planner.event.route import Route, RoutePlace, RouteStretch, Wanted
from planner.event.stops import stops_of_set
from planner.event.street.checks import check_street
from planner.event.street.street import street_sums
from planner.event.timetable import time_event, time_set
from planner.music.tempo import Metre
from planner.music.tune import outline
from planner.rules.load import load_rulebook

BOOK = load_rulebook()
SETTING = Setting(Occasion.PARADE, Sort.OWN_BAND)
TUNES = {"gate": outline("The Garden Gate", Metre(2, 4), ((8, 2), (8, 2)))}
# At 60 paces of one metre a minute, a metre is a second and so is a beat: 8 s of rolls, then parts
# of 16 s, each played twice, make a set of 72 m; the second set starts at 72 + 28 = 100 m.
PACE, RATE = 1.0, 60
SETS = {
    key: Set(key, number, f"Set {key}", (Entry("gate", tempo_bpm=60),), introduction_beats=8)
    for number, key in enumerate(("one", "two"), start=1)
}
ORDER = (Item("one", gap_after_s=28), Item("two"))
STEP_OFF = Clock(step_off=time(10, 30))


def passed(*places: RoutePlace, items=ORDER, stretches=(), column: float | None = None, sets=SETS):
    route = Route(600, PACE, RATE, column_m=column, stretches=stretches, places=places)
    event = Event("e", "Gala", SETTING, items=items, route=route, clock=STEP_OFF)
    timetable = time_event(event, sets, TUNES, BOOK)
    found = street_sums(event, timetable, sets, TUNES, BOOK).places
    told = [str(each) for each in check_street(event, timetable, sets, TUNES, BOOK)]
    return found, told


def sounding(from_m: float, to_m: float | None = None) -> RoutePlace:
    return RoutePlace("Saluting base", Wanted.SOUNDING, from_m, to_m)


def silent(from_m: float, to_m: float | None = None) -> RoutePlace:
    return RoutePlace("The kirk", Wanted.SILENT, from_m, to_m)


def test_a_saluting_base_that_a_tune_carries_over_is_as_wanted():
    (place,), told = passed(sounding(10, 70))
    assert (place.from_s, place.to_s) == (10, 70)
    assert (place.start, place.end) == (time(10, 30, 10), time(10, 31, 10))
    assert place.amiss == ()
    assert told == []


def test_rolls_alone_do_not_greet_a_saluting_base():
    # the tune of set two sounds from 108 m on; it has 28 s of rest before it to start earlier
    (place,), told = passed(sounding(100, 140))
    assert place.amiss[0].seconds == 8
    assert told == [
        "Saluting base: no tune sounds for 8 s and 8 m of it (100 to 140 m, 10:31:40 to 10:32:20): "
        "start Set two 8 s earlier."
    ]


def test_a_set_that_stops_too_early_for_a_saluting_base_may_start_later():
    (place,), told = passed(sounding(60, 80))
    assert (place.amiss[0].seconds, place.amiss[0].metres) == (8, 8)
    assert told[0].endswith("start Set one 8 s later.")


def test_a_place_too_long_for_any_set_says_so():
    _, told = passed(sounding(300, 400))
    assert "no tune sounds for 100 s and 100 m of it" in told[0]
    assert told[0].endswith("no set reaches over it by starting earlier or later: put one there.")


def test_silence_in_the_rest_between_two_sets_is_kept():
    (place,), told = passed(silent(73, 99))
    assert (place.amiss, told) == ((), [])


def test_playing_past_a_silent_place_is_told_with_the_last_part_that_ends_before_it():
    # parts end at 24, 40, 56 and 72 s: before 50 m the first repeat's end is ten metres earlier
    (place,), told = passed(silent(50, 60))
    assert (place.amiss[0].item, place.amiss[0].seconds, place.amiss[0].metres) == (
        "Set one",
        10,
        10,
    )
    assert told == [
        "The kirk: Set one plays for 10 s and 10 m of it (50 to 60 m, 10:30:50 to 10:31:00): "
        "stop at the end of part 1, time 2 of The Garden Gate, 10 s and 10 m before it."
    ]


def test_a_set_that_starts_beside_a_silent_place_starts_later_rolls_and_all():
    _, told = passed(silent(95, 104))
    assert "Set two plays for 4 s and 4 m of it" in told[0]
    assert told[0].endswith("start Set two 4 s later.")


def test_the_place_is_passed_when_the_last_rank_has_left_it():
    (place,), told = passed(silent(95, 104), column=20)
    assert place.to_s == 124
    assert told[0].endswith("start Set two 24 s later.")


def test_the_drums_alone_break_a_silence_and_greet_nobody():
    order = (Item(text="drums only", seconds=50), Item("one"))
    (place,), told = passed(silent(20, 30), items=order)
    assert place.amiss[0].item == "drums only"
    assert told[0].endswith("start drums only 30 s later.")
    _, told = passed(sounding(20, 30), items=order)
    assert "no tune sounds for 10 s" in told[0]


def test_two_sets_at_one_silent_place_are_told_both():
    _, told = passed(silent(70, 102))
    assert len(told) == 2
    assert "Set one plays for 2 s" in told[0]
    assert "Set two plays for 2 s" in told[1]


@pytest.mark.parametrize(("metre", "is_heard"), [(71.5, True), (72, False), (99, False)])
def test_a_place_at_one_metre_is_a_moment(metre, is_heard):
    (place,), told = passed(silent(metre))
    assert place.from_s == place.to_s
    assert bool(told) is is_heard
    assert (f"Set one plays there ({metre:g} m, 10:31:11)" in "".join(told)) is is_heard
    (greeted,), _ = passed(sounding(metre))
    assert bool(greeted.amiss) is not is_heard


def test_a_silent_halt_is_a_place_to_be_silent_at():
    stretches = (RouteStretch(80, halt_s=15, halt_is_silent=True, name="the cross"),)
    stretches += (RouteStretch(520),)
    (halt,), told = passed(stretches=stretches)
    assert (halt.is_halt, halt.from_m, halt.from_s, halt.to_s) == (True, 80, 80, 95)
    assert told == []


def test_playing_in_a_silent_halt_is_told_in_seconds_alone():
    stretches = (RouteStretch(50, halt_s=15, halt_is_silent=True), RouteStretch(550))
    _, told = passed(stretches=stretches)
    assert told == [
        "the halt at 50 m: Set one plays for 15 s of it (50 m, 10:30:50 to 10:31:05): "
        "stop at the end of part 1, time 2 of The Garden Gate, 10 s and 10 m before it."
    ]


def test_a_halt_at_which_the_band_may_play_asks_for_nothing():
    assert passed(stretches=(RouteStretch(50, halt_s=15), RouteStretch(550))) == ((), [])


def test_after_an_open_end_a_place_has_metres_but_no_time():
    until_cue = {**SETS, "one": Set("one", 1, "Set one", (Entry("gate", 60, 0),))}
    (place,), told = passed(silent(110, 120), sets=until_cue)
    assert (place.start, place.from_m) == (None, 110)
    assert "(110 to 120 m):" in told[0]


def test_stops_are_counted_through_every_time_and_tune():
    entries = (Entry("gate", tempo_bpm=60, times_through=2), Entry("gate", tempo_bpm=120))
    a_set = Set("one", 1, "Set one", entries, introduction_beats=8)
    stops = stops_of_set(time_set(a_set, TUNES, BOOK, SETTING), a_set, TUNES)
    assert [float(stop.seconds) for stop in stops[:5]] == [24, 40, 56, 72, 88]
    assert [float(stop.seconds) for stop in stops[-4:]] == [144, 152, 160, 168]
    assert stops[-1].words == "end of part 2, time 2 of The Garden Gate"


@given(st.integers(0, 590), st.integers(0, 200), st.sampled_from(Wanted), st.integers(0, 60))
def test_what_is_amiss_is_never_longer_than_the_place_is_passed(start, length, wanted, column):
    place = RoutePlace("there", wanted, start, min(600, start + length))
    (found,), told = passed(place, column=column)
    assert sum(each.seconds for each in found.amiss) <= found.to_s - found.from_s
    assert len(told) == len(found.amiss)


@given(st.integers(0, 590), st.integers(0, 200))
def test_a_silent_place_is_quiet_exactly_where_no_set_is(start, length):
    # Set one is heard from 0 to 72 m, set two from 100 to 172 m: counted metre by metre.
    end = min(600, start + length)
    (found,), _ = passed(silent(start, end))
    heard = sum(metre < 72 or 100 <= metre < 172 for metre in range(start, end))
    assert sum(each.metres for each in found.amiss) == pytest.approx(heard)


@given(st.integers(0, 300), st.integers(1, 60))
def test_doing_what_is_said_at_a_saluting_base_mends_it(start, length):
    place = sounding(start, start + length)
    (found,), _ = passed(place)
    for amiss in found.amiss:
        words = amiss.remedy.split()
        if words[0] != "start":
            continue
        seconds = int(words[3]) * (1 if words[-1] == "later" else -1)
        (again,), _ = passed(place, items=moved(words[2], seconds))
        assert again.amiss == ()


def moved(which: str, seconds: int) -> tuple[Item, ...]:
    """The order with one set started so many seconds later; what comes after it moves too."""
    if which == "one":
        return (Item(text="", seconds=0, gap_after_s=seconds), *ORDER)
    return (Item("one", gap_after_s=28 + seconds), Item("two"))
