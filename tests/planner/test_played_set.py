"""A whole set by the clock: joins, links, silences, times through and changes of tempo."""

from itertools import pairwise

import pytest

from planner.event.event import Drums, Occasion, Setting, Sort
from planner.marks.choices import ByHand, Choices
from planner.marks.marks import Move
from planner.plan import plan_tune
from planner.played_set import Piece, play_set
from planner.rules.load import load_rulebook
from tests.builders import tune

BOOK = load_rulebook()
# Massed bands: nothing is marked, so that the times can be told by heart.
MASSED = Setting(Occasion.PARADE, Sort.MASSED, Drums.FULL)
PLAIN = "2/4 |: A2 c2 | e4 :|"
WITH_PICKUP = "2/4 | e | {g}A2 c2 | e3 |]"


def piece(abc, bpm, times=1, choices=None, **more):
    built = tune(abc, idiom="march", tempo=bpm)
    plan = plan_tune(built, MASSED, BOOK, choices=choices or Choices())
    earlier = tuple((part.number, number) for part, number in built.passes())
    return Piece(f"at {bpm}", plan, times, earlier, **more)


def test_the_second_tune_goes_at_its_own_tempo_from_its_first_note_on():
    # Two bars of two crotchets, twice: 8 beats at 60 are 8 s; at 120 the crotchets last 500 ms.
    played = play_set([piece(PLAIN, 60), piece(PLAIN, 120)])
    assert [(t.start_ms, t.tempo_bpm) for t in played.tunes] == [(0.0, 60.0), (8000.0, 120.0)]
    second = [note.heard.sounding_ms for note in played.notes if note.entry == 2]
    assert second[:3] == [8000.0, 8500.0, 9000.0]
    assert played.length_ms == 12_000.0


def test_a_pick_up_at_a_join_is_at_the_new_tempo_already():
    played = play_set([piece(PLAIN, 60), piece(WITH_PICKUP, 120)])
    first_two = [note.heard.sounding_ms for note in played.notes if note.entry == 2][:2]
    # A quaver of pick-up at 120 is 250 ms; the low A after it has a gracenote of 35 ms on its beat.
    assert first_two == [8000.0, 8285.0]


def test_the_introduction_is_silent_and_comes_first():
    played = play_set([piece(PLAIN, 60)], introduction_ms=6000.0)
    assert played.notes[0].heard.movement_start_ms == 6000.0
    assert played.length_ms == 14_000.0


def test_without_a_silence_the_pipes_never_stop():
    pieces = [piece(WITH_PICKUP, 76, times=2), piece("2/4 | {GdGe}A2 {gef}e2 | A4 |]", 84)]
    notes = [note.heard for note in play_set(pieces).notes]
    assert all(
        here.end_ms == pytest.approx(after.movement_start_ms) for here, after in pairwise(notes)
    )
    assert all(note.end_ms > note.sounding_ms for note in notes)


def test_a_silence_after_a_tune_is_heard_but_not_after_the_last():
    played = play_set([piece(PLAIN, 60, pause_ms=1500.0), piece(PLAIN, 60, pause_ms=1500.0)])
    last_of_first = [note for note in played.notes if note.entry == 1][-1]
    assert last_of_first.heard.end_ms == 8000.0
    assert played.tunes[1].start_ms == 9500.0
    assert played.length_ms == 17_500.0


def test_every_time_through_has_the_same_notes_later():
    played = play_set([piece(PLAIN, 60, times=3)])
    by_time = [
        [n.heard.sounding_ms for n in played.notes if n.time_through == time] for time in (1, 2, 3)
    ]
    assert by_time[1] == [at + 8000.0 for at in by_time[0]]
    assert by_time[2] == [at + 16_000.0 for at in by_time[0]]


def test_a_link_leads_to_the_next_tune_and_nowhere_after_the_last():
    link = piece("2/4 | B2 d2 |]", 60).plan
    played = play_set([piece(PLAIN, 60, link=link), piece(PLAIN, 60, link=link)])
    linked = [note for note in played.notes if note.time_through == 0]
    assert [note.heard.place.note for note in linked] == ["B", "D"]
    assert [note.heard.sounding_ms for note in linked] == [8000.0, 9000.0]
    assert played.length_ms == 18_000.0


def test_a_breath_makes_the_whole_set_longer_each_time_it_is_played():
    breath = Choices((ByHand(1, 2, 0, 0, Move.BREATHE, 60.0),))
    assert play_set([piece(PLAIN, 60, choices=breath)]).length_ms == 8000.0 + 2 * 60.0


def test_the_sounds_are_all_gracenotes_and_notes_one_after_the_other():
    sounds = play_set([piece("2/4 | {gef}e2 A2 | A4 |]", 60), piece(PLAIN, 60)]).sounds
    assert [sound.pitch for sound in sounds[:4]] == [79, 76, 78, 76]
    assert all(here.end_ms <= after.start_ms + 1e-6 for here, after in pairwise(sounds))
