"""Drum scores by chance: what is struck stands, and what moves at a stroke is told.

Where a drum strikes is read here from the score that was made, not asked of the planner. A bar that
no playing voice has entered is struck on the beats, as without a score.
"""

from fractions import Fraction
from functools import cache
from random import Random

import pytest

from planner.event.event import Drums, Occasion
from planner.marks.choices import Choices
from planner.marks.marks import Agreement, Move, Verdict
from planner.music.drums import DrumBar, DrumScore, DrumVoice
from planner.plan import plan_tune
from tests.properties.graced_tunes import seeded_tune
from tests.properties.plans import RULES, setting, strikes, words

TUNES = 60
STRICT = (
    setting(Occasion.PARADE),
    setting(Occasion.PARADE, drums=Drums.BASS),
    setting(Occasion.DANCE),
)
FREE = (setting(Occasion.COMPETITION), setting(Occasion.EXHIBITION))
HEARD_APART_LATE_MS = 28.0


def score_by_chance(tune, seed):
    """Up to three voices, each with most of the bars: strokes on quarters of a beat, and a roll."""
    chance = Random(seed)
    lines = {}
    for voice in chance.sample(list(DrumVoice), chance.randrange(1, 4)):
        line = {}
        for part in tune.parts:
            for bar in part.full_bars:
                if chance.random() < 0.8:
                    line[part.number, bar.number, bar.ending] = bar_by_chance(bar.metre, chance)
        lines[voice] = line
    return DrumScore(lines)


def bar_by_chance(metre, chance):
    step = metre.beat_length / (6 if metre.is_compound else 4)
    places = [step * number for number in range(int(metre.bar_length / step))]
    struck = tuple(sorted(chance.sample(places, chance.randrange(0, len(places)))))
    start = chance.choice(places)
    rolls = ((start, start + metre.beat_length),) if chance.random() < 0.3 else ()
    return DrumBar(struck, rolls)


@cache
def plans(where):
    found = []
    for seed in range(TUNES):
        tune = seeded_tune(seed)
        score = score_by_chance(tune, seed)
        found.append((tune, score, plan_tune(tune, where, RULES, choices=Choices((), (), score))))
    return found


def is_struck(score, where, place, metre):
    """Whether a drum that plays strikes at a note's written beat."""
    at = place.address
    voices = list(DrumVoice) if where.drums is Drums.FULL else [DrumVoice.BASS]
    entered = [
        score.lines[voice][at.part, at.bar, at.ending]
        for voice in voices
        if (at.part, at.bar, at.ending) in score.lines.get(voice, {})
    ]
    if not entered:
        return strikes(metre, float(at.beat), where.drums)
    position = (Fraction(at.beat) - 1) * metre.beat_length
    return any(position in bar.strokes for bar in entered)


def of(settings):
    return pytest.mark.parametrize("where", settings, ids=[words(where) for where in settings])


@of(STRICT)
def test_what_a_strict_drum_strikes_stands_where_it_is_written(where):
    for tune, score, plan in plans(where):
        for note in plan.played:
            at = note.place.address
            if at.bar and is_struck(score, where, note.place, tune.metre):
                assert note.onset_ms == note.written_onset_ms, (tune, str(at))


@of(STRICT)
def test_strict_drums_are_asked_nothing_but_to_listen(where):
    for tune, _, plan in plans(where):
        assert {mark.drums for mark in plan.marks} <= {Verdict.STRICT, Verdict.WATCH}, tune
        assert plan.is_ready_to_print, tune


@of(FREE)
def test_whatever_moves_at_a_stroke_is_to_be_agreed(where):
    for tune, score, plan in plans(where):
        for mark in plan.marks:
            moves_stroke = is_struck(score, where, mark.met_at, tune.metre)
            if mark.move is not Move.TIGHTEN and moves_stroke:
                assert mark.drums is Verdict.FOLLOW, (tune, mark)
                assert mark.agreement is Agreement.TO_BE_AGREED
        asked = any(mark.agreement is Agreement.TO_BE_AGREED for mark in plan.marks)
        assert plan.is_ready_to_print == (not asked)


@of((*STRICT, *FREE))
def test_inside_a_roll_nothing_moves_as_far_as_is_heard_apart(where):
    for tune, score, plan in plans(where):
        for note in plan.played:
            at = note.place.address
            bars = score.bars_at((at.part, at.bar, at.ending), DrumVoice)
            position = (Fraction(at.beat) - 1) * tune.metre.beat_length
            if where.drums is Drums.FULL and any(bar.is_in_roll(position) for bar in bars):
                assert abs(note.onset_ms - note.written_onset_ms) < HEARD_APART_LATE_MS, tune


@of((*STRICT, *FREE))
def test_the_map_says_of_every_bar_the_gravest_that_is_asked_there(where):
    order = [Verdict.STRICT, Verdict.WATCH, Verdict.FOLLOW, Verdict.CONFLICT]
    for tune, _, plan in plans(where):
        for bar in plan.drums.bars:
            asked = [
                mark.drums
                for mark in plan.marks
                if mark.move is not Move.TIGHTEN
                and mark.met_at.address.part == bar.part
                and (mark.met_at.address.bar, mark.met_at.address.ending) == (bar.bar, bar.ending)
            ]
            assert bar.verdict is max(asked, key=order.index, default=Verdict.STRICT), tune


def test_scores_by_chance_leave_marks_to_look_at():
    made = {
        mark.move for where in (*STRICT, *FREE) for *_, plan in plans(where) for mark in plan.marks
    }
    assert made >= {Move.HOLD, Move.TIGHTEN, Move.EARLY, Move.LATE}
