"""Times add up at every tempo: a set from its parts, an event from its items and gaps."""

from datetime import time
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.event.event import Clock, Entry, Event, Item, Occasion, Set, Setting, Sort
from planner.event.times import EventTimes, event_times
from planner.event.timetable import time_event
from planner.music.tempo import Metre
from planner.music.tune import outline
from planner.rules.load import load_rulebook

BOOK = load_rulebook()
TUNES = {
    "gate": outline("The Garden Gate", Metre(2, 4), ((8, 2), (8, 2))),
    "weir": outline("Over the Weir", Metre(6, 8), ((8, 2),)),
}
PARADE = Setting(Occasion.PARADE, Sort.OWN_BAND)


def times(items: tuple[Item, ...], bpm: float = 80, pause: float = 2, **first) -> EventTimes:
    entries = (Entry("gate", bpm, pause_after_s=pause, **first), Entry("weir", bpm))
    sets = {"s": Set("s", 1, "Set one", entries)}
    event = Event("e", "Gala", PARADE, clock=Clock(step_off=time(14, 0)), items=items)
    return event_times(event, time_event(event, sets, TUNES, BOOK), TUNES, BOOK)


@given(st.integers(40, 160), st.integers(0, 30), st.integers(0, 300), st.integers(0, 600))
def test_sets_and_events_add_up_to_the_millisecond_and_silence_keeps_its_length(
    bpm, pause, gap, speech
):
    got = times((Item("s", gap_after_s=gap), Item(text="Speech", seconds=speech)), bpm, pause)
    one, words = got.items
    tunes = sum((tune.seconds for tune in one.tunes), Fraction(0))
    assert one.introduction + tunes + one.joins == one.lengths.planned
    assert one.joins == pause
    assert got.lengths.planned == one.lengths.planned + gap + speech
    assert words.lengths.slower == words.lengths.quicker == speech
    played = one.lengths.planned - pause
    assert one.lengths.slower == played / Fraction(97, 100) + pause
    assert one.lengths.quicker == played / Fraction(103, 100) + pause


def test_the_whole_is_over_later_and_sooner_with_nerves():
    # 8 beats of rolls, 64 and 32 beats of tune at 80 and 2 s: 80 s; played 78 s
    got = times((Item("s", gap_after_s=60), Item("s")))
    assert got.lengths.planned == 220
    slower, planned, quicker = got.ends
    assert planned == time(14, 3, 40)
    assert float(got.lengths.slower) == pytest.approx(2 * (78 / 0.97 + 2) + 60)
    assert slower is not None
    assert quicker is not None
    assert slower > planned > quicker


def test_a_fixed_start_is_waited_for():
    got = times((Item("s"), Item("s", start=time(15, 0))))
    assert [end.replace(microsecond=0) for end in got.ends if end] == [
        time(15, 1, 22), time(15, 1, 20), time(15, 1, 17),
    ]  # fmt: skip


def test_what_lasts_until_the_cue_names_its_stopping_places_and_has_no_end():
    got = times((Item("s"),), times_through=0)
    assert got.ends == (None, None, None)
    assert got.items[0].is_open
    assert got.items[0].tunes[0].stops == (
        "end of part 1, time 1", "end of part 1, time 2",
        "end of part 2, time 1", "end of part 2, time 2",
    )  # fmt: skip
