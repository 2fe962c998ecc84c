"""Laws of the marks: few, on notes that exist, heard, alike wherever a figure comes round.

Each law takes a tune and a setting; ``LAWS`` says in which settings it must hold.
"""

import json
from collections import Counter
from dataclasses import replace
from itertools import combinations

from api.display.documents.plan import plan_document
from planner.event.event import Control, Drums, Occasion
from tests.properties.plans import EVERYWHERE, document, figure_places, place_of, plan, setting

PHRASE_BARS, LINE_BARS, SPACING_BEATS = 2, 4, 2
DANCE_ALONE = setting(Occasion.DANCE, drums=Drums.NONE)


def share_a_pass(one, other):
    """First and second ending are never played on the same pass."""
    return not (one["ending"] and other["ending"] and one["ending"] != other["ending"])


def phrase_of(mark):
    return mark["part"], (mark["bar"] - 1) // PHRASE_BARS


def every_mark_stands_on_a_note_that_exists(tune, where):
    found = document(tune, where)
    places = {(place_of(note), note["note"]) for note in found["played"]["notes"]}
    for mark in found["marks"]:
        assert (place_of(mark), mark["note"]) in places
        assert (place_of(mark["moved"]), mark["moved"]["note"]) in places


def nothing_is_printed_that_cannot_be_heard_or_played(tune, where):
    for mark in document(tune, where)["marks"]:
        assert mark["audibility"]["lab_ratio"] >= 1
        assert mark["producible"]["ratio"] >= 1
        beat_ms = 60_000 / tune.tempo.bpm
        assert abs(mark["ms"]) <= 0.1 * beat_ms + 0.001


def marks_stand_apart(tune, where):
    marks = document(tune, where)["marks"]
    for one, other in combinations(marks, 2):
        if one["part"] == other["part"] and share_a_pass(one, other):
            beats = (other["bar"] - one["bar"]) * tune.metre.beats_per_bar
            assert abs(beats + other["beat"] - one["beat"]) >= SPACING_BEATS
            assert phrase_of(one) != phrase_of(other)


def a_line_carries_no_more_figures_than_its_budget(tune, where):
    licence, figure_of = plan(tune, where).licence, figures_by_place(tune)
    marked = [place_of(mark) for mark in document(tune, where)["marks"]]
    for ending in (1, 2):
        heard = [(figure_of[place], place) for place in marked if place[2] in (0, ending)]
        in_lines = {(figure, place[0], (place[1] - 1) // LINE_BARS) for figure, place in heard}
        lines = Counter((part, line) for _, part, line in in_lines)
        parts = Counter(part for _, part in {(figure, place[0]) for figure, place in heard})
        assert all(count <= licence.marks_per_line for count in lines.values())
        if licence.marks_per_part is not None:
            assert all(count <= licence.marks_per_part for count in parts.values())


def figures_by_place(tune):
    return {place: figure for figure, places in figure_places(tune).items() for place in places}


def a_figure_gets_the_same_move_wherever_it_comes_or_none(tune, where):
    moves = {place_of(mark): mark["move"] for mark in document(tune, where)["marks"]}
    for places in figure_places(tune).values():
        here = {moves.get(place) for place in places}
        is_named_lean = where == DANCE_ALONE and here == {None, "lean"}
        assert len(here) == 1 or is_named_lean, places


def pipes_alone_for_dancers_lean_where_a_line_starts_and_nowhere_else(tune, where):
    for mark in document(tune, where)["marks"]:
        if mark["move"] == "lean":
            assert mark["beat"] == 1
            assert (mark["bar"] - 1) % LINE_BARS == 0


def planning_twice_gives_the_same_bytes(tune, where):
    once, again = (json.dumps(plan_document(plan(tune, where))).encode() for _ in range(2))
    assert once == again


def control_comes_before_colour(tune, where):
    for rung in (1, 2, 3):
        below = plan(tune, replace(where, control=Control(rung)))
        assert below.marks == ()
        assert below.licence.layers == plan(tune, where).licence.layers
        assert "rung_work" in {warning.code for warning in below.warnings}


LAWS = {
    every_mark_stands_on_a_note_that_exists: EVERYWHERE,
    nothing_is_printed_that_cannot_be_heard_or_played: EVERYWHERE,
    marks_stand_apart: EVERYWHERE,
    a_line_carries_no_more_figures_than_its_budget: EVERYWHERE,
    a_figure_gets_the_same_move_wherever_it_comes_or_none: EVERYWHERE,
    planning_twice_gives_the_same_bytes: EVERYWHERE,
    pipes_alone_for_dancers_lean_where_a_line_starts_and_nowhere_else: (DANCE_ALONE,),
    control_comes_before_colour: EVERYWHERE,
}
