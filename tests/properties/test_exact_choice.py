"""The chosen marks against every choice that could have been made.

The rules of what fits are written here once more, from the words: figures best first; each as the
first of its moves that fits, or not at all; so many figures a line (a part, in a round tune); one
mark in a phrase; two felt beats apart; no note shaped twice.
"""

from collections import Counter
from itertools import combinations, pairwise, product

import pytest

from planner.analysis.analyse import analyse
from planner.event.event import Drums, Occasion
from planner.licence.grant import grant_licence
from planner.marks.anchors import Anchors
from planner.marks.choose import candidates, choose_marks
from planner.marks.stage import Stage
from tests.properties.graced_tunes import SMALL, seeded_tune
from tests.properties.plans import RULES, setting

TUNES = 150
MOST_CHOICES = 3000
WHERE = (
    setting(Occasion.PARADE),
    setting(Occasion.COMPETITION),
    setting(Occasion.EXHIBITION),
    setting(Occasion.DANCE, drums=Drums.NONE),
)


def stage_of(tune, where):
    analysis = analyse(tune, tune.idiom, tune.tempo, RULES)
    return Stage(analysis, grant_licence(where, tune.idiom, RULES), Anchors(where.drums), RULES)


def choices_of(found):
    return [[*candidate.options, None] for candidate in found]


def brute_force(stage, found):
    """The best of all choices that fit: the first figure as high as may be, then the second."""
    fits = Fitting(stage)
    every = product(*(range(len(options)) for options in choices_of(found)))
    for ranks in every:  # product counts up, so the first that fits is the best
        chosen = [options[rank] for options, rank in zip(choices_of(found), ranks, strict=True)]
        marked = [option for option in chosen if option is not None]
        if fits.all_of(marked):
            return sorted(proposal.draft.index for option in marked for proposal in option)
    raise AssertionError("no mark at all always fits")


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


@pytest.mark.parametrize(("first_seed", "where"), list(enumerate(WHERE)))
def test_the_chosen_marks_are_the_best_of_all_that_fit(first_seed, where):
    """Six hundred tunes in all, no tune twice."""
    checked, with_marks, seed = 0, 0, 10_000 * first_seed
    while checked < TUNES:
        stage = stage_of(seeded_tune(seed, SMALL), where)
        seed += 1
        found = candidates(stage)
        choices = 1
        for options in choices_of(found):
            choices *= len(options)
        if choices > MOST_CHOICES:
            continue
        chosen = [proposal.draft.index for proposal in choose_marks(stage).chosen]
        assert chosen == brute_force(stage, found), f"seed {seed - 1}"
        checked, with_marks = checked + 1, with_marks + bool(chosen)
    assert with_marks >= TUNES // 3, "most of the tunes must have something to choose"


@pytest.mark.parametrize("seed", range(40))
def test_figures_come_best_first_and_ties_to_the_earlier_bar(seed):
    stage = stage_of(seeded_tune(seed), setting(Occasion.EXHIBITION))
    ranks = [(-round(each.score, 9), each.best) for each in candidates(stage)]
    assert ranks == sorted(ranks)
    threshold = RULES.number("thresholds.salience.threshold")
    assert all(each.score >= threshold - 1e-9 for each in candidates(stage))


@pytest.mark.parametrize("seed", range(40))
def test_no_note_is_shaped_by_two_marks(seed):
    stage = stage_of(seeded_tune(seed), setting(Occasion.EXHIBITION))
    touched = [proposal.draft.touched for proposal in choose_marks(stage).chosen]
    assert all(not one & other for one, other in pairwise(touched))
