"""Whatever people set by hand: the bar keeps its length, notes keep theirs, and nobody is fooled.

Tunes, notes, moves and sizes by chance; the laws are those of the planner's own marks that even a
pipe-major cannot overrule.
"""

from functools import cache
from random import Random

import pytest

from planner.event.event import Drums, Occasion
from planner.marks.choices import ByHand, Choices
from planner.marks.marks import Move, Verdict
from planner.plan import plan_marks, plan_tune, prepare
from tests.properties.graced_tunes import seeded_tune
from tests.properties.plans import CLOSE_MS, RULES, setting, words

TUNES = 40
SHORTEST_BARE_NOTE_MS = 60.0
SIZES = (None, None, 2.0, 15.0, 30.0, 60.0, 200.0)
WHERE = (
    setting(Occasion.PARADE),
    setting(Occasion.COMPETITION),
    setting(Occasion.EXHIBITION),
    setting(Occasion.DANCE, drums=Drums.NONE),
)


def words_by_chance(tune, seed):
    """Up to six words on notes of the tune, some of them to leave a note alone."""
    chance = Random(seed)
    places = [
        (part.number, bar.number, bar.ending, index)
        for part in tune.parts
        for bar in part.bars
        for index in range(len(bar.notes))
    ]
    return tuple(
        ByHand(*chance.choice(places), chance.choice((*Move, None)), chance.choice(SIZES), "Morna")
        for _ in range(chance.randrange(1, 7))
    )


@cache
def plans_by_hand(where):
    """Each tune with what was said of it and its plan."""
    found = []
    for seed in range(TUNES):
        tune = seeded_tune(seed)
        said = words_by_chance(tune, seed)
        found.append((tune, said, plan_tune(tune, where, RULES, choices=Choices(by_hand=said))))
    return found


def test_chance_makes_marks_of_every_move():
    made = {
        mark.move for where in WHERE for *_, plan in plans_by_hand(where) for mark in plan.marks
    }
    assert made == set(Move)


EVERYWHERE = pytest.mark.parametrize("where", WHERE, ids=[words(where) for where in WHERE])


@EVERYWHERE
def test_only_a_breath_changes_the_length_of_a_bar(where):
    for tune, _, plan in plans_by_hand(where):
        breaths = [mark for mark in plan.marks if mark.move is Move.BREATHE]
        grown = plan.played_through()[1] - 1000 * tune.seconds(tune.tempo)
        assert (grown > CLOSE_MS) == bool(breaths), tune
        firsts = {}
        for note in plan.played:
            at = note.place.address
            firsts.setdefault((at.part, at.bar, at.ending), note)
        assert all(note.onset_ms == note.written_onset_ms for note in firsts.values())


@EVERYWHERE
def test_no_note_falls_below_what_it_had_or_what_it_needs(where):
    for tune, _, plan in plans_by_hand(where):
        unmarked = prepare(tune, where, RULES).unmarked
        for now, before in zip(plan.played, unmarked, strict=True):
            least = min(before.sounding_length_ms, SHORTEST_BARE_NOTE_MS)
            assert now.place.note == "rest" or now.sounding_length_ms >= least - CLOSE_MS, tune


@EVERYWHERE
def test_nothing_is_printed_that_nobody_could_hear(where):
    for tune, _, plan in plans_by_hand(where):
        assert all(mark.audibility.lab_ratio >= 1.0 for mark in plan.marks), tune


@EVERYWHERE
def test_every_word_is_done_or_answered(where):
    """A move by hand stands on its note, or a finding says why not; a note left alone is bare."""
    answers = {"hand_mark_impossible", "hand_mark_unheard", "hand_mark_gone"}
    for tune, said, plan in plans_by_hand(where):
        standing = {mark.place.note_id: mark for mark in plan.marks}
        told = {finding.where for finding in plan.warnings if finding.code in answers}
        addresses = {note.place.note_id: str(note.address) for note in plan.analysis.notes}
        for word in {word.note_id: word for word in said}.values():
            mark = standing.get(word.note_id)
            if word.move is None:
                assert mark is None, tune
            elif mark is None or mark.move is not word.move:
                assert addresses[word.note_id] in told, (tune, word)


@EVERYWHERE
def test_a_breath_where_it_is_closed_is_never_ready_to_print(where):
    for tune, _, plan in plans_by_hand(where):
        breaths = [mark for mark in plan.marks if mark.move is Move.BREATHE]
        if breaths and not plan.licence.layers.across_phrase.is_free:
            assert all(mark.drums is Verdict.CONFLICT for mark in breaths), tune
            assert not plan.is_ready_to_print, tune


@EVERYWHERE
def test_taken_back_the_plan_is_as_it_was(where):
    for tune, said, _ in plans_by_hand(where):
        ground = prepare(tune, where, RULES)
        before = plan_marks(ground)
        plan_marks(ground, Choices(by_hand=said))
        assert plan_marks(ground) == before, tune


@EVERYWHERE
def test_what_the_planner_adds_stands_apart_from_what_was_set(where):
    """The planner fills the rest and crowds nobody: one mark in a phrase, two beats apart."""
    for tune, _, plan in plans_by_hand(where):
        for mark in plan.marks:
            if mark.by_hand:
                continue
            here = mark.place.address
            for other in plan.marks:
                there = other.place.address
                apart = here.ending and there.ending and here.ending != there.ending
                if other is mark or here.part != there.part or apart:
                    continue
                beats = (there.bar - here.bar) * tune.metre.beats_per_bar + there.beat - here.beat
                assert abs(beats) >= 2, tune
                assert (here.bar - 1) // 2 != (there.bar - 1) // 2, tune


@EVERYWHERE
def test_marks_by_hand_count_against_the_budget(where):
    """Where people have used a line up, the planner adds no other figure to it."""
    for tune, _, plan in plans_by_hand(where):
        figures = plan.analysis.figures
        index_of = {note.place: note.index for note in plan.analysis.notes}
        for ending in (1, 2):
            lines = {}
            for mark in plan.marks:
                at = mark.place.address
                if at.ending in (0, ending):
                    line = lines.setdefault(
                        (at.part, (at.bar - 1) // 4), {True: set(), False: set()}
                    )
                    line[mark.by_hand].add(figures[index_of[mark.place]])
            for by_people in lines.values():
                added = by_people[False] - by_people[True]
                together = by_people[False] | by_people[True]
                assert not added or len(together) <= plan.licence.marks_per_line, tune
