"""The sums of an event: each is there only where it applies, and adds up."""

import pytest

from planner.event.event import (
    Entry,
    Event,
    Instrument,
    Item,
    LineUp,
    Loudness,
    Occasion,
    Person,
    Set,
    Setting,
    Sort,
)
from planner.event.route import Route
from planner.event.sums import EventSums, Music, sum_event
from planner.event.timetable import time_event
from planner.music.tempo import Metre
from planner.music.tune import outline
from planner.rules.load import load_rulebook

BOOK = load_rulebook()
STREET = Setting(Occasion.PARADE, Sort.OWN_BAND)
CONTEST = Setting(Occasion.COMPETITION, Sort.MEDLEY)
TUNES = {
    "gate": outline("The Garden Gate", Metre(2, 4), ((8, 2), (8, 2))),
    "weir": outline("Over the Weir", Metre(6, 8), ((8, 2), (8, 2))),
    "reel": outline("The Salt Reel", Metre(2, 2), tuple((8, 1) for _ in range(16))),
    "slow": outline("The Slow Half", Metre(4, 4), tuple((8, 1) for _ in range(3))),
    "quick": outline("The Quick Half", Metre(4, 4), ((8, 1),)),
}


def a_set(*keys: str, bpm: float = 80, **more) -> Set:
    return Set("1", 1, "Set one", tuple(Entry(key, tempo_bpm=bpm) for key in keys), **more)


def sums(a_set: Set, people: tuple[Person, ...] = (), gap: float = 0, **event) -> EventSums:
    items = (Item("1", gap_after_s=gap), Item("1"))
    setting = event.pop("setting", STREET)
    planned = Event("e", "Gala", setting, items=event.pop("items", items), **event)
    timetable = time_event(planned, {"1": a_set}, TUNES, BOOK)
    music = Music({"1": a_set}, TUNES, {"gate": "A", "weir": "D"})
    return sum_event(planned, timetable, music, LineUp(people), BOOK)


def test_what_does_not_apply_is_not_there():
    bare = sums(a_set("gate"))
    assert (bare.street, bare.dose) == (None, None)
    assert (bare.sets[0].contest, bare.sets[0].dance, bare.sets[0].joins) == (None, None, ())


def test_a_join_says_how_it_runs_whether_it_lifts_and_why():
    (join,) = sums(a_set("gate", "weir")).sets[0].joins
    assert (join.before, join.after) == ("The Garden Gate", "Over the Weir")
    assert join.lift == "lift"
    assert any("A to D" in reason.text for reason in join.reasons)


def test_each_item_starts_where_the_one_before_and_its_gap_have_carried_the_band():
    route = Route(900, 0.75, 80)
    street = sums(a_set("gate", introduction_beats=8), gap=30, route=route).street
    first, second = street.items
    # 72 beats of a pace of 0.75 m, then half a minute at 80 paces of 0.75 m
    assert (first.from_m, first.metres) == (0, pytest.approx(54))
    assert second.from_m == pytest.approx(54 + 30)


def test_a_set_that_starts_where_the_route_is_over_is_told():
    street = sums(a_set("gate"), route=Route(50, 0.75, 80)).street
    assert [item.is_past_the_end for item in street.items] == [False, True]


def test_a_column_of_20_m_hears_the_front_58_ms_late_and_86_percent_of_a_tenth_of_a_beat():
    # 20 m: 58 ms, 8.6 % of a beat at 88 (sound at 343 m/s)
    delay = sums(a_set("gate"), route=Route(900, 0.75, 88, column_m=20)).street.delay
    assert delay.ms == pytest.approx(58, abs=0.5)
    assert delay.share_of_beat == pytest.approx(0.086, abs=0.0005)


def test_the_full_tulloch_of_16_parts_at_102_lasts_160_seconds():
    # D. MacPhee, Piping for Dancing part 2, 18 Dec 2020: 8-bar introduction, 16 parts, 102
    dance = sums(a_set("reel", bpm=102, dance="full-tulloch", steps=(16,))).sets[0].dance
    assert dance.length.bars == 136
    assert dance.length.seconds == pytest.approx(160.0, abs=0.1)


def test_a_dance_of_two_tempos_takes_its_quick_tempo_from_the_last_tune():
    entries = (Entry("slow", tempo_bpm=94), Entry("quick", tempo_bpm=114))
    danced = Set("1", 1, "Dance", entries, dance="seann-triubhas", steps=(3, 1))
    dance = sums(danced).sets[0].dance
    assert dance.tempos_bpm == (94, 114)
    assert dance.length.quick_from_bar == 25


def test_a_dance_that_cannot_be_reckoned_says_why_in_one_sentence():
    dance = sums(a_set("slow", dance="seann-triubhas", steps=(3,))).sets[0].dance
    assert dance.length is None
    assert "slow and quick steps" in dance.problem


def test_an_introduction_that_is_no_whole_number_of_bars_is_said():
    danced = a_set("reel", bpm=102, dance="full-tulloch", steps=(16,), introduction_beats=7)
    assert "7 beats are not a whole number of bars" in sums(danced).sets[0].dance.problem


def test_a_contest_set_has_its_margins_and_its_players():
    piper = Person("p", "Perrin Oxgate", Instrument.PIPES)
    entered = a_set("gate", ruleset="rspba-2022-grade-1-minimum")
    contest = sums(entered, (piper,), setting=CONTEST).sets[0].contest
    assert contest.verdict is None
    assert contest.lengths.quicker < contest.lengths.planned < contest.lengths.slower
    assert (Instrument.PIPES, 8, 1) in contest.players


def test_the_dose_needs_a_measured_level_and_takes_the_length_of_the_running_order():
    # NIOSH 1998: 94 dB(A) reaches the daily value after 60 minutes
    order = (Item(text="Everything", seconds=1800),)
    dose = sums(a_set("gate"), items=order, loudness=Loudness(94, "in the ranks")).dose
    assert dose.minutes_to_value == pytest.approx(60)
    assert dose.dose_percent == pytest.approx(50)
