"""One layer opened by one word: what changes, and what made it change.

A mark may come, go or change only because a move of that layer came in, or because budget, spacing
or a shared note pushed it out or let it in again. Each change is traced to the mark behind it.
"""

from itertools import chain

import pytest

from planner.analysis.analyse import analyse
from planner.event.event import Occasion
from planner.licence.grant import grant_licence, lift
from planner.licence.licence import Level
from planner.marks.anchors import Anchors
from planner.marks.choose import choose_marks
from planner.marks.describe import make_mark
from planner.marks.marks import Move, Verdict
from planner.marks.stage import Stage
from tests.properties.graced_tunes import seeded_tune
from tests.properties.plans import RULES, setting

MOVES = {
    "within_beat": {Move.HOLD, Move.TIGHTEN},
    "across_bar": {Move.EARLY, Move.LATE, Move.LEAN},
}
PARADE = setting(Occasion.PARADE)
SEEDS = range(20)


class Marked:
    """The marks of a tune under a licence, each with the mark as drawn."""

    def __init__(self, tune, licence):
        analysis = analyse(tune, tune.idiom, tune.tempo, RULES)
        self.stage = Stage(analysis, licence, Anchors(PARADE.drums), RULES)
        chosen = choose_marks(self.stage).chosen
        self.marks = {self.key(proposal): proposal for proposal in chosen}

    def key(self, proposal):
        return proposal.draft.index, proposal.draft.move, round(proposal.draft.ms, 6)

    def is_followed(self, proposal):
        return make_mark(self.stage, proposal).drums is Verdict.FOLLOW

    def in_the_way(self, one, other):
        """Whether two marks compete: a note, a figure, a line or a part, a phrase, two beats."""
        notes, figures = self.stage.analysis.notes, self.stage.analysis.figures
        here, there = notes[one.draft.index].address, notes[other.draft.index].address
        is_one_figure = figures[one.draft.index] == figures[other.draft.index]
        if one.draft.touched & other.draft.touched or is_one_figure:
            return True
        is_one_line = (here.part, (here.bar - 1) // 4) == (there.part, (there.bar - 1) // 4)
        is_round = self.stage.licence.is_round
        is_near = here.part == there.part and abs(here.bar - there.bar) <= 2
        return is_one_line or is_near or (is_round and here.part == there.part)


def before_and_after(seed, layer, level):
    tune = seeded_tune(seed)
    narrow = grant_licence(PARADE, tune.idiom, RULES)
    wide = lift(narrow, "the pipe-major", RULES, **{layer: level})
    return Marked(tune, narrow), Marked(tune, wide)


def cause_of(change, others, judged_by):
    """The mark behind a change, or None: one of the other marks that competes with it."""
    figures = judged_by.stage.analysis.figures
    of_figure = [m for m in others if figures[m.draft.index] == figures[change.draft.index]]
    return next(
        (other for other in chain(of_figure, others) if judged_by.in_the_way(change, other)), None
    )


@pytest.mark.parametrize(("layer", "level"), [
    ("within_beat", Level.FULL), ("across_bar", Level.AGREED), ("across_bar", Level.FULL),
    ("across_phrase", Level.FULL), ("between_tunes", Level.FULL),
])  # fmt: skip
@pytest.mark.parametrize("seed", SEEDS)
def test_every_change_has_a_mark_of_the_opened_layer_behind_it(seed, layer, level):
    narrow, wide = before_and_after(seed, layer, level)
    gone = [mark for key, mark in narrow.marks.items() if key not in wide.marks]
    come = [mark for key, mark in wide.marks.items() if key not in narrow.marks]
    own = MOVES.get(layer, set())
    for mark in come:
        belongs = mark.draft.move in own or (layer == "across_bar" and wide.is_followed(mark))
        assert belongs or cause_of(mark, gone, wide), f"nothing let {mark.draft} in"
    for mark in gone:
        belongs = mark.draft.move in own
        assert belongs or cause_of(mark, come, wide), f"nothing pushed {mark.draft} out"
    assert not (gone or come) or layer in MOVES


@pytest.mark.parametrize("layer", ["within_beat", "across_bar"])
def test_opening_a_layer_changes_some_of_the_tunes(layer):
    changed = [
        seed
        for seed in SEEDS
        for narrow, wide in [before_and_after(seed, layer, Level.FULL)]
        if narrow.marks.keys() != wide.marks.keys()
    ]
    assert len(changed) >= 5
