"""The running order on the street: metres, stretches, halts, and where each set starts."""

from datetime import time
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.errors import RequestError
from planner.event.event import Clock, Entry, Event, Item, Occasion, Set, Setting, Sort
from planner.event.route import (
    Route,
    RoutePlace,
    RouteStretch,
    Slope,
    Wanted,
    check_route,
    length_of_stretches,
)
from planner.event.street.parade import cover_route
from planner.event.street.street import StreetSums, street_sums
from planner.event.street.walk import Pacing, legs_of, walk_route
from planner.event.timetable import EventTimetable, time_event
from planner.music.tempo import Metre
from planner.music.tune import outline
from planner.rules.load import load_rulebook

BOOK = load_rulebook()
SETTING = Setting(Occasion.PARADE, Sort.OWN_BAND)
TUNES = {"gate": outline("The Garden Gate", Metre(2, 4), ((8, 2), (8, 2)))}
UP = Fraction(str(BOOK.number("drill.street.pace_up")))
DOWN = Fraction(str(BOOK.number("drill.street.pace_down")))
FACTORS = {Slope.LEVEL: Fraction(1), Slope.UP: UP, Slope.DOWN: DOWN}

LENGTHS = st.integers(1, 20_000).map(lambda tenths: tenths / 10)
STRETCHES = st.lists(
    st.builds(RouteStretch, LENGTHS, st.sampled_from(Slope), halt_s=st.integers(0, 300)),
    min_size=1,
    max_size=6,
).map(tuple)
RATES = st.integers(40, 180)
PACES = st.integers(300, 1200).map(lambda mm: mm / 1000)


def a_set(bpm: float = 80, times: int = 1, pause: float = 0, count: int = 1) -> Set:
    """Each tune is 32 bars of two beats: 64 paces; 8 beats of rolls before the first."""
    entry = Entry("gate", tempo_bpm=bpm, times_through=times, pause_after_s=pause)
    return Set("one", 1, "Set one", (entry,) * count, introduction_beats=8)


def on(route: Route, *items: Item, one: Set | None = None, clock: Clock | None = None):
    event = Event("e", "Gala", SETTING, items=items, route=route, clock=clock or Clock())
    sets = {"one": one or a_set()}
    timetable = time_event(event, sets, TUNES, BOOK)
    sums = street_sums(event, timetable, sets, TUNES, BOOK)
    assert isinstance(sums, StreetSums)
    return sums


def along(*stretches: RouteStretch, pace: float = 0.75, rate: float = 80, **more) -> Route:
    length = length_of_stretches(stretches)
    return Route(length, pace, rate, stretches=tuple(stretches), **more)


NO_MUSIC = EventTimetable((), Fraction(0), None, None)


@given(STRETCHES, PACES, RATES)
def test_the_stretches_lie_end_to_end_and_add_up_to_the_route(stretches, pace, rate):
    route = along(*stretches, pace=pace, rate=rate)
    legs = legs_of(route, BOOK)
    assert legs[0].from_m == 0
    assert [leg.from_m for leg in legs[1:]] == [leg.to_m for leg in legs[:-1]]
    assert float(legs[-1].to_m) == route.length_m


@given(STRETCHES, PACES, RATES)
def test_on_every_stretch_metres_are_paces_times_pace(stretches, pace, rate):
    legs = legs_of(along(*stretches, pace=pace, rate=rate), BOOK)
    for leg in legs:
        own = Fraction(str(pace)) * FACTORS[leg.stretch.slope]
        assert leg.paces * own == Fraction(str(leg.stretch.length_m))


@given(STRETCHES, PACES, RATES, st.integers(1, 60))
def test_a_quicker_band_is_never_longer_on_the_way(stretches, pace, rate, faster):
    slow = cover_route(along(*stretches, pace=pace, rate=rate), NO_MUSIC, BOOK)
    quick = cover_route(along(*stretches, pace=pace, rate=rate + faster), NO_MUSIC, BOOK)
    assert quick.walking_minutes < slow.walking_minutes
    assert quick.minutes < slow.minutes
    assert quick.halted_minutes == slow.halted_minutes


@given(STRETCHES, PACES, RATES, st.integers(0, 40))
def test_a_quicker_tempo_of_a_set_never_sets_the_next_one_back(stretches, pace, rate, faster):
    route = along(*stretches, pace=pace, rate=rate)
    items = (Item("one", gap_after_s=30), Item("one"))
    slow = on(route, *items, one=a_set(60))
    quick = on(route, *items, one=a_set(60 + faster))
    assert quick.items[1].from_s <= slow.items[1].from_s


@given(STRETCHES, PACES, RATES)
def test_in_silence_the_walk_takes_its_minutes_and_its_halts(stretches, pace, rate):
    route = along(*stretches, pace=pace, rate=rate)
    walk = walk_route(route, (), BOOK)
    assert walk.metres[-1] == legs_of(route, BOOK)[-1].to_m
    cover = cover_route(route, NO_MUSIC, BOOK)
    assert float(walk.seconds[-1] / 60) == pytest.approx(cover.minutes, rel=1e-12)


@given(STRETCHES, PACES, RATES, st.lists(st.tuples(st.integers(0, 600), RATES), max_size=5))
def test_a_walk_never_goes_back_and_finds_its_way_both_ways(stretches, pace, rate, music):
    route = along(*stretches, pace=pace, rate=rate)
    pacings = [Pacing(Fraction(seconds), Fraction(bpm)) for seconds, bpm in music]
    walk = walk_route(route, pacings, BOOK)
    assert list(walk.seconds) == sorted(walk.seconds)
    assert list(walk.metres) == sorted(walk.metres)
    for metre in (Fraction(0), *walk.metres, walk.metres[-1] + 7):
        assert walk.metres_at(walk.reaches(metre)) == metre
        assert walk.metres_at(walk.leaves(metre)) == metre
        assert walk.reaches(metre) <= walk.leaves(metre)


def test_a_set_covers_a_pace_to_a_beat_rolls_included():
    # 8 beats of rolls and 64 of the tune: 72 paces of 0.75 m
    (item,) = on(Route(600, 0.75, 80), Item("one")).items
    assert (item.from_m, item.metres) == (0, 54)


def test_silence_within_a_set_is_marched_at_the_band_s_own_rate():
    # 8 + 64 + 64 beats, and half a minute at 80: 176 paces of half a metre
    (item,) = on(Route(600, 0.5, 80), Item("one"), one=a_set(pause=30, count=2)).items
    assert item.metres == 88


def test_a_set_carries_less_far_uphill_by_the_factor_of_the_rule_book():
    (item,) = on(along(RouteStretch(600, Slope.UP)), Item("one")).items
    assert item.metres == pytest.approx(54 * float(UP))
    assert item.metres < 54


def test_a_halt_keeps_the_metres_and_lets_the_seconds_run():
    # 54 s of music on 30 m, then 20 s on the spot, then what is left of it
    route = along(RouteStretch(30, halt_s=20), RouteStretch(570))
    first, second = on(route, Item("one", gap_after_s=10), Item("one")).items
    assert first.metres == pytest.approx(54 - 20)
    assert second.from_s == 64
    assert second.from_m == pytest.approx(54 + 10 - 20)


def test_the_minutes_are_those_in_motion_and_those_of_the_halts():
    # 300 m of 0.75 m are 400 paces, 285 m of 0.95 x 0.75 m are 400 more: ten minutes at 80
    route = along(RouteStretch(300, halt_s=90), RouteStretch(300 * float(UP), Slope.UP))
    cover = on(route, Item("one")).cover
    assert cover.walking_minutes == pytest.approx(10)
    assert cover.halted_minutes == 1.5
    assert cover.minutes == pytest.approx(11.5)
    assert cover.rest_share == pytest.approx(1 - 54 / (11.5 * 60))


def test_a_route_of_one_stretch_is_a_route_of_one_length():
    items = (Item("one", gap_after_s=30), Item("one"))
    plain, stretched = on(Route(600, 0.75, 80), *items), on(along(RouteStretch(600)), *items)
    assert plain == stretched


def test_each_set_starts_by_the_metre_and_by_the_clock():
    clock = Clock(step_off=time(10, 30))
    items = (Item("one", gap_after_s=30), Item("one"))
    first, second = on(Route(600, 0.75, 80), *items, clock=clock).items
    assert (first.start, first.from_s) == (time(10, 30), 0)
    assert (second.start, second.from_s) == (time(10, 31, 24), 84)
    assert second.from_m == 54 + 30


def test_a_fixed_start_is_waited_for_on_the_march():
    clock = Clock(step_off=time(23, 59))
    (item,) = on(Route(600, 0.75, 80), Item("one", start=time(0, 1)), clock=clock).items
    assert (item.from_s, item.from_m) == (120, 120)


def test_a_fixed_start_that_is_past_already_moves_nobody():
    clock = Clock(step_off=time(10, 30))
    items = (Item("one"), Item("one", start=time(10, 30, 10)))
    assert on(Route(600, 0.75, 80), *items, clock=clock).items[1].from_s == 54


@pytest.mark.parametrize(("halt", "times"), [(0, 12), (54, 13), (55, 14)])
def test_a_set_is_played_oftener_where_there_is_a_halt_to_play_through(halt, times):
    # 12 times 54 m fill 648 m; each 54 s of halt ask for one more
    route = along(RouteStretch(600, halt_s=halt), RouteStretch(48))
    assert on(route, Item("one")).items[0].times_to_fill == times


def test_the_stretches_are_told_with_slope_pace_and_halt():
    route = along(
        RouteStretch(300, name="the quay"),
        RouteStretch(285, Slope.UP, "the brae", halt_s=60, halt_is_silent=True),
    )
    quay, brae = on(route, Item("one")).stretches
    assert (quay.name, quay.slope, quay.from_m, quay.to_m) == ("the quay", "level", 0, 300)
    assert (brae.from_m, brae.to_m, brae.halt_s, brae.halt_is_silent) == (300, 585, 60, True)
    assert brae.pace_m == pytest.approx(0.75 * float(UP))
    assert brae.seconds == pytest.approx(285 / (0.75 * float(UP)) / 80 * 60)


@pytest.mark.parametrize(
    ("route", "sentence"),
    [
        (Route(0, 0.75, 80), "route.length_m: 0 is not above zero"),
        (Route(-5, 0.75, 80), "route.length_m: -5 is not above zero"),
        (Route(9, 0.75, 80, stretches=(RouteStretch(9), RouteStretch(0))), "stretch 2: 0 is not"),
        (Route(9, 0.75, 80, stretches=(RouteStretch(-9),)), "stretch 1: -9 is not above zero"),
        (Route(9, 0.75, 80, stretches=(RouteStretch(9, halt_s=-1),)), "stretch 1, halt: -1 is b"),
        (
            Route(900, 0.75, 80, stretches=(RouteStretch(400), RouteStretch(450.5))),
            "they add up to 850.5 m, the route is 900 m; make the two agree",
        ),
        (
            Route(900, 0.75, 80, places=(RoutePlace("the kirk", Wanted.SILENT, 850, 950),)),
            "the route ends at 900 m, before the kirk at 950 m; give metres from step-off",
        ),
        (
            Route(900, 0.75, 80, places=(RoutePlace("the kirk", Wanted.SILENT, 300, 200),)),
            "300 to 200 m for the kirk runs backwards; put the lower figure first",
        ),
        (
            Route(900, 0.75, 80, places=(RoutePlace("the kirk", Wanted.SILENT, -1),)),
            "the kirk: -1 is below zero",
        ),
        (
            Route(900, 0.75, 80, places=(RoutePlace("", Wanted.SILENT, 1),)),
            "place 1 has no name; write what is there",
        ),
    ],
)
def test_a_route_that_cannot_be_marched_is_refused_in_one_sentence(route, sentence):
    with pytest.raises(RequestError) as refused:
        check_route(route)
    assert sentence in str(refused.value)
    assert str(refused.value).endswith(".")


def test_stretches_of_tenths_add_up_exactly():
    route = Route(0.3, 0.75, 80, stretches=(RouteStretch(0.1), RouteStretch(0.2)))
    check_route(route)
