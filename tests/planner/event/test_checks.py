"""What would go wrong on the day."""

from dataclasses import replace
from datetime import time

import pytest

from planner.event.checks import check_event, is_earlier
from planner.event.event import (
    Clock,
    Entry,
    Event,
    Item,
    LineUp,
    Occasion,
    Set,
    Setting,
    Sort,
)
from planner.event.route import Route
from planner.event.street.parade import miles_an_hour
from planner.findings import Gravity
from planner.music.tempo import Metre
from planner.music.tune import outline
from planner.rules.load import load_rulebook

BOOK = load_rulebook()
TUNES = {
    "gate": outline("The Garden Gate", Metre(2, 4), ((8, 2), (8, 2))),
    "kettle": outline("The Kettle", Metre(6, 8), ((8, 2), (8, 2))),
    "common": outline("The Common", Metre(4, 4, "C"), ((8, 2), (8, 2))),
    "plain": outline("The Plain", Metre(4, 4), ((8, 2), (8, 2))),
    "reel": outline("The Reel", Metre(2, 2, "C|"), ((8, 1), (8, 1))),
}
CLOCK = Clock(time(13, 0), time(13, 30), time(14, 0), time(15, 0))
OWN = Setting(Occasion.PARADE, Sort.OWN_BAND)
MASSED = Setting(Occasion.PARADE, Sort.MASSED)


def a_set(*keys: str, bpm: float = 86, **extra) -> Set:
    return Set("one", 1, "Set one", tuple(Entry(key, tempo_bpm=bpm) for key in keys), **extra)


def an_event(setting: Setting = OWN, clock: Clock = CLOCK, **extra) -> Event:
    items = extra.pop("items", (Item("one"),))
    return Event("e", "Gala", setting, clock=clock, items=items, **extra)


def found(event: Event, one: Set, line_up: LineUp | None = None):
    return {each.code: each for each in check_event(event, {"one": one}, TUNES, BOOK, line_up)}


def test_a_tidy_event_has_no_findings():
    route = Route(600, 0.762, 86, 65)
    assert found(an_event(route=route), a_set("gate")) == {}


def test_two_metres_in_a_massed_set_are_refused():
    finding = found(an_event(MASSED), a_set("gate", "kettle"))["mixed_metres"]
    assert finding.gravity is Gravity.REFUSE
    assert (
        finding.text
        == "massed bands and long columns keep one time signature a set: here are 2/4 and 6/8."
    )
    assert finding.where == "Set one"


def test_a_long_column_keeps_one_metre_too():
    setting = Setting(Occasion.PARADE, Sort.LONG_COLUMN)
    assert "mixed_metres" in found(an_event(setting), a_set("gate", "kettle"))


def test_one_metre_written_in_two_ways_is_one_metre():
    assert found(an_event(MASSED), a_set("common", "plain")) == {}


def standard(setting: Setting, one: Set, noted: dict[str, str] | None):
    found = check_event(an_event(setting), {"one": one}, TUNES, BOOK, None, noted)
    return {each.code: each for each in found}


def test_massed_bands_are_asked_for_the_setting_all_of_them_know():
    # common practice: massed bands play standard settings and drum scores
    one = a_set("common", "plain", "common")
    finding = standard(MASSED, one, {"common": "the association's book, 1"})["no_standard_setting"]
    assert finding.text == (
        "massed bands play the setting and the drum score that every band knows: none is noted for "
        "The Plain."
    )
    assert finding.gravity is Gravity.WARN
    both = standard(MASSED, one, {"common": " "})["no_standard_setting"]
    assert both.text.endswith("none is noted for The Common and The Plain.")


@pytest.mark.parametrize("setting", [OWN, Setting(Occasion.PARADE, Sort.LONG_COLUMN)])
def test_a_band_by_itself_plays_its_own_settings(setting):
    assert "no_standard_setting" not in standard(setting, a_set("common"), {})


def test_a_noted_setting_is_no_finding():
    noted = {"common": "book 1", "plain": "book 2"}
    assert standard(MASSED, a_set("common", "plain"), noted) == {}


def test_an_own_band_may_mix_metres():
    assert found(an_event(), a_set("gate", "kettle")) == {}


def test_a_tune_twice_in_a_set_is_found():
    finding = found(an_event(), a_set("gate", "gate"))["tune_twice"]
    assert finding.text == "The Garden Gate is down 2 times."


def test_a_set_may_come_back_on_the_street_but_not_at_a_concert():
    items = (Item("one"), Item("one"))
    concert = Setting(Occasion.EXHIBITION, Sort.STANDING)
    assert found(an_event(items=items), a_set("gate")) == {}
    assert "tune_twice" in found(an_event(concert, items=items), a_set("gate"))


def test_a_country_dance_may_end_with_its_first_tune():
    floor = Setting(Occasion.DANCE, Sort.FLOOR)
    assert found(an_event(floor), a_set("gate", "kettle", "gate")) == {}


def test_missing_times_are_named():
    finding = found(an_event(clock=Clock(step_off=time(14, 0))), a_set("gate"))["missing_times"]
    assert finding.text == "no time is set for meet, tune-up and end."


def test_times_out_of_order_are_named():
    clock = replace(CLOCK, tune_up=time(14, 30))
    finding = found(an_event(clock=clock), a_set("gate"))["times_out_of_order"]
    assert finding.text == "tune-up at 14:30 comes after step-off at 14:00."


def test_an_evening_may_end_after_midnight():
    clock = Clock(time(18, 0), time(18, 30), time(19, 0), time(0, 30))
    assert found(an_event(clock=clock), a_set("gate")) == {}


@pytest.mark.parametrize(
    ("one", "other", "answer"),
    [
        (time(9), time(10), True),
        (time(10), time(9), False),
        (time(9), time(9), False),
        (time(0, 30), time(18), False),
    ],
)
def test_a_time_is_earlier_unless_it_is_the_next_day_s(one, other, answer):
    assert is_earlier(one, other) is answer


def test_an_item_that_starts_before_the_last_is_over_overlaps():
    items = (Item(text="speech", seconds=600), Item("one", start=time(14, 5)))
    finding = found(an_event(items=items), a_set("gate"))["overlap"]
    assert finding.text == "speech lasts until 14:10:00, Set one starts before, at 14:05:00."


def test_a_running_order_longer_than_the_event_is_found():
    clock = replace(CLOCK, end=time(14, 0, 30))
    assert "over_the_end" in found(an_event(clock=clock), a_set("gate"))


def test_an_item_without_length_is_found():
    assert "no_length" in found(an_event(items=(Item(text="speech"),)), a_set("gate"))


def test_four_miles_an_hour_at_eighty_six_paces_is_warned_of():
    route = Route(600, 0.762, 86, miles_an_hour(4))
    finding = found(an_event(route=route), a_set("gate"))["speed_against_tempo"]
    assert "needs 141 paces a minute" in finding.text
    assert "86 make 65.5 m" in finding.text


def test_a_set_off_the_step_rate_of_the_route_is_found():
    finding = found(an_event(route=Route(600, 0.762, 86)), a_set("gate", bpm=96))
    assert finding["tempo_off_the_step_rate"].text == (
        "played at 96 where the route is reckoned at 86 paces a minute."
    )


def test_a_medley_over_its_window_is_found():
    contest = Setting(Occasion.COMPETITION, Sort.MEDLEY)
    one = a_set(*["gate"] * 7, bpm=64, ruleset="rspba-2026-grade-2-medley")
    finding = found(an_event(contest), one)["outside_the_window"]
    assert finding.text.startswith("7:08 as planned, over by 67.5 s: the window is 4:00 to 6:00.")
    assert finding.text.endswith("Confirm with your own body's current rules.")


def test_a_medley_that_nerves_would_carry_out_is_found():
    contest = Setting(Occasion.COMPETITION, Sort.MEDLEY)
    one = a_set(*["gate"] * 4, bpm=66, ruleset="rspba-2026-grade-2-medley")
    text = found(an_event(contest), one)["narrow_margin"].text
    assert text.startswith("4:00 as planned, and with nerves under by 6.99 s")


def test_too_few_players_are_found():
    contest = Setting(Occasion.COMPETITION, Sort.MEDLEY)
    one = a_set("gate", ruleset="rspba-2022-grade-4b-minimum")
    assert "too_few_players" in found(an_event(contest), one, LineUp())


def test_tunes_that_do_not_fill_the_dance_are_found():
    # Half Tulloch: 8 parts of 8 bars of two beats; the reel has two parts of 8 bars.
    floor = Setting(Occasion.DANCE, Sort.FLOOR)
    short = a_set("reel", dance="half-tulloch", steps=(8,))
    text = found(an_event(floor), short)["dance_not_filled"].text
    assert text == "the tunes last 32 beats, and Half Tulloch of 8 steps needs 128."


def test_tunes_that_fill_the_dance_pass():
    floor = Setting(Occasion.DANCE, Sort.FLOOR)
    assert (
        found(an_event(floor), a_set(*["reel"] * 4, bpm=102, dance="half-tulloch", steps=(8,)))
        == {}
    )
