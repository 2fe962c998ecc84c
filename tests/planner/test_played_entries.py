"""What is heard of a set and what the clock reckons for it are the same, however it is played.

Two ways that share no code count the same set: the timetable in felt beats, the played list note
by note in milliseconds.
"""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from planner.event.altered import link_tune
from planner.event.event import Attack, Drums, Entry, Occasion, Set, Setting, Sort
from planner.event.played_parts import as_played, in_turn
from planner.event.timetable import Kind, time_set
from planner.plan import plan_tune
from planner.played_set import Piece, play_set
from planner.rules.load import load_rulebook
from tests.builders import tune

BOOK = load_rulebook()
# Massed bands: nothing is marked, so nothing breathes.
MASSED = Setting(Occasion.PARADE, Sort.MASSED, Drums.FULL)
TUNES = {
    "plain": tune("2/4 |: A2 c2 | e4 :| |: f2 e2 | a4 :|", idiom="march", title="Plain"),
    "endings": tune("2/4 |: e | {g}A2 c2 |1 e3 :|2 f3 |] c4 | d4 |]", idiom="march", title="Two"),
}
TURNS = {"plain": (1, 2), "endings": (1, 2)}


@st.composite
def entries(draw: st.DrawFn) -> Entry:
    key = draw(st.sampled_from(sorted(TUNES)))
    parts = tuple(draw(st.lists(st.sampled_from(TURNS[key]), max_size=4)))
    times = tuple(draw(st.integers(0, 4)) for _ in parts)
    return Entry(
        key,
        tempo_bpm=draw(st.sampled_from([60.0, 84.0, 90.5])),
        times_through=draw(st.integers(1, 3)),
        parts=parts,
        part_times=times,
        last_bar=draw(st.sampled_from(["", "f4", "{g}e3", "c2 d2"])),
        link=draw(st.sampled_from(["", "e4 | {g}f2 e2", "e | A4"])),
        pause_after_s=draw(st.sampled_from([0.0, 1.5])),
        attack=draw(st.sampled_from([None, Attack.ON_THE_BEAT])),
    )


def piece(entry: Entry) -> Piece:
    written = TUNES[entry.tune_key]
    link = link_tune(entry, written)
    earlier = tuple((part.number, number) for part, number in in_turn(entry, written).passes())
    plans = [
        plan_tune(each, MASSED, BOOK, tempo_bpm=entry.tempo_bpm) if each else None
        for each in (as_played(entry, written), link)
    ]
    assert plans[0] is not None
    pause_ms = 1000 * entry.pause_after_s
    return Piece(entry.tune_key, plans[0], entry.times_through, earlier, plans[1], pause_ms)


@settings(max_examples=60, deadline=None)
@given(st.lists(entries(), min_size=1, max_size=3))
def test_the_played_list_lasts_as_long_as_the_timetable(chosen: list[Entry]) -> None:
    a_set = Set("s", 1, "Any", tuple(chosen), introduction_beats=0)
    timetable = time_set(a_set, TUNES, BOOK, MASSED)
    played = play_set([piece(entry) for entry in chosen])
    assert abs(played.length_ms - 1000 * float(timetable.length())) < 0.5
    assert timetable.length() == sum(timetable.length_of(kind) for kind in Kind)


@settings(max_examples=60, deadline=None)
@given(entries())
def test_every_note_that_is_heard_stands_in_the_music_that_is_drawn(entry: Entry) -> None:
    drawn = as_played(entry, TUNES[entry.tune_key])
    there = {(part.number, bar.number, bar.ending) for part in drawn.parts for bar in part.bars}
    played = play_set([piece(entry)])
    heard = {
        (at.part, at.bar, at.ending) for note in played.notes for at in (note.heard.place.address,)
    }
    assert heard == there
