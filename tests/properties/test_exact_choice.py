"""The chosen marks against every choice that could have been made.

What one note could do comes from the engine, and how much it stands out; everything that makes a
choice of it is written here once more, from the words: which notes make a figure; figures best
first, by their best place, ties to the earlier bar; each as the first of the moves that all its
places share that fits, or not at all; so many figures a line (a part, in a round tune); one mark in
a phrase; two felt beats apart; no note shaped twice.
"""

from collections import Counter
from itertools import combinations, product
from math import prod

import pytest

from planner.analysis.analyse import analyse
from planner.event.event import Drums, Occasion
from planner.licence.grant import grant_licence
from planner.marks.anchors import Anchors
from planner.marks.choose import choose_marks
from planner.marks.moves import propose
from planner.marks.stage import Stage
from tests.properties.graced_tunes import SMALL, seeded_tune
from tests.properties.plans import RULES, figure_places, said_beat, setting, words

TUNES = 150
MOST_CHOICES = 3000
LEAST_SALIENCE = 0.35
DANCE_ALONE = setting(Occasion.DANCE, drums=Drums.NONE)
WHERE = (
    setting(Occasion.PARADE),
    setting(Occasion.COMPETITION),
    setting(Occasion.EXHIBITION),
    DANCE_ALONE,
)
# Pipes alone for dancers: the licence names the lean's place, so it is free of the figure there.
LINE_STARTS = (1, 5, 9)
DANCE_ORDER = ("hold", "lean", "tighten")


def stage_of(tune, where):
    analysis = analyse(tune, tune.idiom, tune.tempo, RULES)
    return Stage(analysis, grant_licence(where, tune.idiom, RULES), Anchors(where.drums), RULES)


def figures_best_first(stage):
    """For each figure that stands out: its options, most preferred first, and last none."""
    found = []
    for indices in places_of_figures(stage):
        salience = max(stage.analysis.salience[index].total for index in indices)
        if round(salience, 9) >= LEAST_SALIENCE:
            found.append((-round(salience, 9), indices[0], [*options_of(stage, indices), ()]))
    return [options for _, _, options in sorted(found, key=lambda row: row[:2])]


def places_of_figures(stage):
    index_of = {}
    for note in stage.analysis.notes:
        address = note.address
        place = (address.part, address.bar, address.ending, said_beat(address.beat))
        index_of[place] = note.index
    return [
        sorted(index_of[place] for place in places)
        for places in figure_places(stage.analysis.tune).values()
    ]


def options_of(stage, indices):
    """The moves all places share, in the first place's order; alone for dancers, the named lean."""
    by_place = [{one.draft.move: one for one in propose(stage, index)[0]} for index in indices]
    shared = [
        [moves[move] for moves in by_place]
        for move in by_place[0]
        if all(move in moves for moves in by_place)
    ]
    is_shared = any(row[0].draft.move == "lean" for row in shared)
    if stage.licence.setting == DANCE_ALONE and not is_shared:
        leans = [moves["lean"] for moves in by_place if "lean" in moves]
        starts = [lean for lean in leans if opens_line(stage, lean)]
        shared += [starts] if starts else []
        shared.sort(key=lambda row: DANCE_ORDER.index(row[0].draft.move))
    return shared


def opens_line(stage, lean):
    address = stage.analysis.notes[lean.draft.index].address
    return address.beat == 1 and address.bar in LINE_STARTS


def brute_force(stage, figures):
    """The best of all choices that fit: the first figure as high as may be, then the second."""
    fits = Fitting(stage)
    # product counts up the last figure first, so the first choice that fits is the best
    for chosen in product(*figures):
        if fits.all_of([option for option in chosen if option]):
            return sorted(as_said(proposal) for option in chosen for proposal in option)
    raise AssertionError("no mark at all always fits")


def as_said(proposal):
    return proposal.draft.index, proposal.draft.move, proposal.draft.ms


class Fitting:
    """Whether a choice of figures keeps the rules."""

    def __init__(self, stage):
        self.notes, self.licence = stage.analysis.notes, stage.licence
        self.when = beats_of_every_time_it_is_played(stage.analysis)

    def all_of(self, figures):
        marks = [proposal for figure in figures for proposal in figure]
        return self.within_budget(figures) and all(
            self.both(one, other) for one, other in combinations(marks, 2)
        )

    def within_budget(self, figures):
        per_part = self.licence.marks_per_part
        for ending in (1, 2):
            lines, parts = Counter(), Counter()
            for figure in figures:
                here = [self.notes[proposal.draft.index].address for proposal in figure]
                played = [address for address in here if address.ending in (0, ending)]
                lines.update({(address.part, (address.bar - 1) // 4) for address in played})
                parts.update({address.part for address in played})
            if any(count > self.licence.marks_per_line for count in lines.values()):
                return False
            if per_part is not None and any(count > per_part for count in parts.values()):
                return False
        return True

    def both(self, one, other):
        here, there = self.notes[one.draft.index].address, self.notes[other.draft.index].address
        if one.draft.touched & other.draft.touched:
            return False
        if here.ending and there.ending and here.ending != there.ending:
            return True
        is_one_phrase = (here.bar - 1) // 2 == (there.bar - 1) // 2
        beats = min(
            abs(first - second)
            for first in self.when[one.draft.index]
            for second in self.when[other.draft.index]
        )
        return not is_one_phrase and beats >= 2


def beats_of_every_time_it_is_played(analysis):
    """For each printed note, the felt beats from the start at which it is played."""
    indices = {}
    for note in analysis.notes:
        address = note.address
        indices.setdefault((address.part, address.bar, address.ending), []).append(note)
    when, start = {note.index: [] for note in analysis.notes}, 0
    for part in analysis.tune.parts:
        for bar in part.played_bars():
            for note in indices[part.number, bar.number, bar.ending]:
                offset = bar.metre.bar_length - bar.length if bar.is_pickup else 0
                when[note.index].append(start + (note.onset - offset) / bar.metre.beat_length)
            start += bar.length / bar.metre.beat_length
    return when


@pytest.mark.parametrize(
    ("number", "where"), list(enumerate(WHERE)), ids=[words(where) for where in WHERE]
)
def test_the_chosen_marks_are_the_best_of_all_that_fit(number, where):
    """Six hundred tunes with something to choose, no tune twice; the others are checked too."""
    with_choice, seed = 0, 10_000 * number
    while with_choice < TUNES:
        stage = stage_of(seeded_tune(seed, SMALL), where)
        seed += 1
        figures = figures_best_first(stage)
        choices = prod(len(options) for options in figures)
        if choices <= MOST_CHOICES:
            chosen = [as_said(proposal) for proposal in choose_marks(stage).chosen]
            assert chosen == brute_force(stage, figures), f"seed {seed - 1}"
            with_choice += choices > 2


@pytest.mark.parametrize("seed", range(40))
def test_no_note_is_shaped_by_two_marks(seed):
    stage = stage_of(seeded_tune(seed), setting(Occasion.EXHIBITION))
    touched = [proposal.draft.touched for proposal in choose_marks(stage).chosen]
    assert all(not one & other for one, other in combinations(touched, 2))
