"""A tune as it is played in a set: its seconds, its parts, its tempo."""

import pytest

from planner.event.entry_time import entry_tempo, time_entry
from planner.event.event import Entry
from planner.music.tempo import Metre, Tempo
from planner.music.tune import Bar, Part, Tune, outline
from planner.rules.load import load_rulebook

BOOK = load_rulebook()
GATE = outline("The Garden Gate", Metre(2, 4), ((8, 2), (8, 2)))
KETTLE = outline("The Kettle", Metre(6, 8), ((8, 1), (8, 2)))


def test_a_tune_entry_lasts_its_beats_at_its_tempo():
    # 32 bars of two beats, twice through, at 80: 128 beats of 0.75 s.
    assert time_entry(Entry("gate", times_through=2), GATE, Tempo(80)) == 96


@pytest.mark.parametrize("tune", [GATE, KETTLE])
def test_once_through_agrees_with_the_tune_s_own_seconds(tune):
    assert float(time_entry(Entry("x"), tune, Tempo(77))) == pytest.approx(tune.seconds(Tempo(77)))


def test_only_the_chosen_parts_are_counted():
    assert time_entry(Entry("kettle", parts=(1,)), KETTLE, Tempo(60)) == 16
    assert time_entry(Entry("kettle", parts=(2, 1, 1)), KETTLE, Tempo(60)) == 64


def test_an_ending_is_played_only_in_its_own_pass():
    metre = Metre(2, 4)
    bars = (
        Bar(1, metre),
        Bar(2, metre, ending=1),
        Bar(2, metre, ending=2),
        Bar(3, metre, ending=2),
    )
    tune = Tune("Two endings", metre, (Part(1, bars, 2, ((1,), (2,))),))
    assert time_entry(Entry("x"), tune, Tempo(60)) == (2 + 3) * 2


def test_an_entry_s_tempo_goes_before_the_tune_s():
    tune = outline("Slow", Metre(2, 4), ((8, 1),), tempo=Tempo(70))
    assert entry_tempo(Entry("x", tempo_bpm=84), tune, BOOK).bpm == 84
    assert entry_tempo(Entry("x"), tune, BOOK).bpm == 70


def test_an_entry_without_any_tempo_takes_the_idiom_s_for_its_metre():
    march = outline("A March", Metre(2, 4), ((8, 1),), idiom="march")
    reel = outline("A Reel", Metre(2, 2, "C|"), ((8, 1),), idiom="round reel")
    assert entry_tempo(Entry("x"), march, BOOK).bpm == BOOK.number("idioms.march.tempo.2/4")
    assert entry_tempo(Entry("x"), reel, BOOK).bpm == BOOK.number("idioms.round_reel.tempo.any")


def test_a_tune_of_which_nobody_said_the_idiom_is_reckoned_as_a_march():
    assert entry_tempo(Entry("x"), GATE, BOOK).bpm == BOOK.number("idioms.march.tempo.2/4")
