"""What changed about the day, in words: nothing is said of what stayed."""

from dataclasses import replace
from datetime import time

from planner.event.changes import Day, changes_of_day
from planner.event.event import (
    Clock,
    Entry,
    Event,
    Instrument,
    Item,
    LineUp,
    Occasion,
    Person,
    Set,
    Setting,
    Sort,
)
from planner.event.route import Route, RoutePlace, RouteStretch, Slope, Wanted
from planner.event.timetable import time_event
from planner.music.tempo import Metre
from planner.music.tune import outline
from planner.rules.load import load_rulebook

BOOK = load_rulebook()
TUNES = {"gate": outline("The Garden Gate", Metre(2, 4), ((8, 2), (8, 2)))}
ENTRIES = (Entry("gate", tempo_bpm=60),)
SETS = {
    "1": Set("1", 1, "First", ENTRIES, introduction_beats=0),
    "2": Set("2", 2, "Second", ENTRIES, introduction_beats=0),
}
ADA, BO = (Person(key, key, Instrument.PIPES) for key in ("Ada", "Bo"))
EVENT = Event(
    "e",
    "Gala",
    Setting(Occasion.PARADE, Sort.OWN_BAND),
    clock=Clock(step_off=time(10)),
    items=(Item("1", gap_after_s=56), Item("2")),
)


def day(event: Event = EVENT, *people: Person, harmony: frozenset = frozenset()) -> Day:
    timetable = time_event(event, SETS, TUNES, BOOK)
    titles = {"gate": "The Garden Gate"}
    return Day(event, timetable, LineUp(people, harmony=harmony), titles)


def test_nothing_is_said_where_nothing_changed():
    assert changes_of_day(day(EVENT, ADA), day(EVENT, ADA)) == ()


def test_a_moved_step_off_moves_every_set():
    late = replace(EVENT, clock=Clock(step_off=time(10, 20)))
    assert changes_of_day(day(), day(late)) == (
        "Step-off is 10:20, was 10:00.",
        "First starts at 10:20, was 10:00.",
        "Second starts at 10:22, was 10:02.",
    )


def test_a_dropped_set_moves_what_comes_after_it_and_shortens_the_order():
    left = replace(EVENT, items=(Item("2"),))
    assert changes_of_day(day(), day(left)) == (
        "First is dropped.",
        "Second starts at 10:00, was 10:02.",
        "The running order lasts 1 min 4 s, was 3 min 4 s.",
    )


def test_a_new_order_is_told_whole():
    turned = replace(EVENT, items=(Item("2", gap_after_s=56), Item("1")))
    assert "The order is now Second, First." in changes_of_day(day(), day(turned))


def test_a_set_that_comes_twice_can_lose_one_of_its_times():
    twice = replace(EVENT, items=(Item("1"), Item("1")))
    once = replace(EVENT, items=(Item("1"),))
    assert changes_of_day(day(twice), day(once))[0] == "First is dropped."


def test_a_missing_player_is_counted_and_the_harmony_they_leave_is_said():
    harmony = frozenset({("Bo", "gate")})
    before = day(EVENT, ADA, BO, harmony=harmony)
    assert changes_of_day(before, day(EVENT, ADA)) == (
        "Bo is missing: 1 on pipes now.",
        "Nobody plays harmony in The Garden Gate now.",
    )


def test_whoever_comes_is_counted_too():
    assert changes_of_day(day(EVENT, ADA), day(EVENT, ADA, BO)) == ("Bo plays: 2 on pipes now.",)


KIRK = RoutePlace("the kirk", Wanted.SILENT, 100, 140)
STAND = RoutePlace("the stand", Wanted.SOUNDING, 300)
ROUTE = Route(600, 0.75, 80, places=(KIRK, STAND))


def test_a_route_that_is_new_or_gone_is_told():
    with_route = replace(EVENT, route=ROUTE)
    assert changes_of_day(day(), day(with_route)) == ("The route is 600 m.",)
    assert changes_of_day(day(with_route), day()) == ("There is no route now.",)


def test_what_changed_on_the_route_is_told_and_what_stayed_is_not():
    other = Route(700, 0.75, 84, places=(replace(KIRK, to_m=150), replace(STAND, name="the bank")))
    before, after = replace(EVENT, route=ROUTE), replace(EVENT, route=other)
    assert changes_of_day(day(before), day(after)) == (
        "The route is 700 m, was 600 m.",
        "The step rate is 84 paces a minute, was 80.",
        "Nothing is asked at the stand any more.",
        "At the kirk, 100 to 150 m: be silent.",
        "At the bank, 300 m: be sounding.",
    )


def test_other_stretches_of_the_same_length_are_told():
    parts = (RouteStretch(400), RouteStretch(200, Slope.UP, halt_s=30))
    before, after = (
        replace(EVENT, route=ROUTE),
        replace(EVENT, route=replace(ROUTE, stretches=parts)),
    )
    assert changes_of_day(day(before), day(after)) == ("The stretches of the route are others.",)
