"""A bar written and played: the blocks fill it, and what one note gains others pay.

A beat at 76 a minute is 60,000 / 76 = 789.47 ms, so a bar of 2/4 is 1578.95 ms.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from api.display.drawing.bar import bar_view, figure_of_bar, scale_of
from api.display.drawing.bar_facts import BarHere, bar_here
from api.display.drawing.ink import WIDE, Figure, Ink
from planner.event.event import Control, Occasion, Setting, Sort
from planner.marks.marks import Move
from planner.music.tempo import Metre, Tempo
from planner.music.tune import outline
from planner.plan import TunePlan, plan_tune
from planner.rules.load import load_rulebook
from tests.api.display.drawing.laid_out import check_layout
from tests.api.display.events import CONTEST, march

BEAT_MS = 60_000 / 76
STANDING = Setting(Occasion.EXHIBITION, Sort.STANDING, control=Control(4))


def plan_of(setting: Setting = CONTEST) -> TunePlan:
    return plan_tune(march(), setting, load_rulebook())


def marked_bars(plan: TunePlan) -> list[BarHere]:
    places = {(at.part, at.bar, at.ending) for at in (m.place.address for m in plan.marks)}
    found = [bar_here(plan, place) for place in sorted(places)]
    return [bar for bar in found if bar is not None]


def wide(figure: Figure) -> Ink:
    return next(ink for ink in figure.drawn if ink.frame is WIDE)


def test_a_bar_is_as_long_as_its_beats() -> None:
    bar = bar_here(plan_of(), (1, 2, 0))
    assert bar is not None
    assert (bar.start_ms, bar.end_ms) == pytest.approx((0, 2 * BEAT_MS))
    assert bar.beats_ms == pytest.approx((0, BEAT_MS))
    assert bar.notes[0].written.onset_ms == 0


@pytest.mark.parametrize("setting", [CONTEST, STANDING])
def test_notes_and_gracenotes_fill_both_rows_without_a_gap(setting: Setting) -> None:
    for bar in marked_bars(plan_of(setting)):
        for row in ([n.written for n in bar.notes], [n.played for n in bar.notes]):
            for before, after in pairwise(row):
                assert before.end_ms == pytest.approx(after.start_ms)
            sounding = sum(n.length_ms for n in row)
            graced = sum(n.sounding_ms - n.start_ms for n in row)
            assert sounding + graced == pytest.approx(row[-1].end_ms - row[0].start_ms)


def test_what_a_held_note_gains_is_paid_in_its_bar() -> None:
    held = [bar for bar in marked_bars(plan_of()) if bar.marks[0].move is Move.HOLD]
    assert held, "the march of the test has a bar with a hold in it"
    for bar in held:
        assert sum(note.longer_ms for note in bar.notes) == pytest.approx(0, abs=1e-6)
        assert any(note.look == "longer" for note in bar.notes)
        assert any(note.look == "pays" for note in bar.notes)


def test_the_drawing_is_to_scale() -> None:
    bar = marked_bars(plan_of())[0]
    ink, scale = wide(figure_of_bar(bar)), scale_of(bar)
    a_ms = 100 / (scale.end - scale.start)
    rows = sorted({block.y for block in ink.blocks})
    assert len(rows) == 2
    for y, timed in ((rows[0], "written"), (rows[1], "played")):
        drawn = [b for b in ink.blocks if b.y == y and b.kind != "grace"]
        lengths = [getattr(note, timed).length_ms * a_ms for note in bar.notes]
        assert [b.width for b in drawn] == pytest.approx(lengths)
    beats = [sign.x for sign in ink.signs]
    on_beat = [note.played.onset_ms for note in bar.notes if note.is_on_beat]
    assert beats == pytest.approx([(at - scale.start) * a_ms for at in on_beat])


def test_the_words_tell_every_note_and_what_is_done() -> None:
    for bar in marked_bars(plan_of()):
        figure = figure_of_bar(bar)
        assert f"{round(2 * BEAT_MS)} ms as written, a beat 789 ms." in figure.words[0]
        assert len(figure.words) == 1 + len(bar.marks) + len(bar.notes)
        for note, told in zip(bar.notes, figure.words[-len(bar.notes) :], strict=True):
            assert told.startswith(f"Beat {note.beat}, {note.name}: written from ")
            assert ("it pays" in told) == (note.look == "pays")
            assert (" longer" in told.partition("played")[2]) == (note.look == "longer")


@pytest.mark.parametrize("setting", [CONTEST, STANDING])
def test_nothing_overlaps_in_any_bar_of_a_tune(setting: Setting) -> None:
    plan = plan_of(setting)
    for at in {(n.address.part, n.address.bar, n.address.ending) for n in plan.analysis.notes}:
        bar = bar_here(plan, at)
        assert bar is not None
        check_layout(figure_of_bar(bar))


def test_a_breath_makes_the_played_bar_longer() -> None:
    plan = plan_of()
    first = next(n for n in plan.analysis.notes if n.address.bar == 2)
    grown = replace(plan, change=replace(plan.change, growth_ms={first.bar_index: 120.0}))
    bar = bar_here(grown, (1, 2, 0))
    assert bar is not None
    assert bar.played_end_ms - bar.end_ms == pytest.approx(120)
    assert "It is played 120 ms longer." in figure_of_bar(bar).words
    assert scale_of(bar).end >= bar.played_end_ms


def test_the_bar_of_the_chosen_note_is_shown_else_the_first_marked() -> None:
    plan = plan_of()
    first = marked_bars(plan)[0].name
    shown = bar_view(plan)
    assert shown is not None
    assert shown.figure.name.startswith(first)
    assert all(words != first for words, _ in shown.others)
    chosen = bar_view(plan, "1/4/0/0")
    assert chosen is not None
    assert chosen.figure.name == "Part 1, bar 4, written and played"


def test_a_tune_without_notes_or_marks_has_no_bar_to_look_at() -> None:
    bare = outline("Scan only", Metre(2, 4), ((8, 2),), tempo=Tempo(80), idiom="march")
    assert bar_view(plan_tune(bare, CONTEST, load_rulebook())) is None
