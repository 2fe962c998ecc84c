"""Laws of the marks: few, on notes that exist, heard, alike wherever a figure comes round."""

import json
from collections import Counter
from itertools import combinations

import pytest
from hypothesis import given, settings

from api.display.plan_document import plan_document
from planner.event.event import Drums, Occasion
from tests.properties.graced_tunes import graced_tunes
from tests.properties.plans import EVERYWHERE, document, figure_places, place_of, plan, setting

laws = settings(derandomize=True, max_examples=10)
PHRASE_BARS, LINE_BARS, SPACING_BEATS = 2, 4, 2
DANCE_ALONE = setting(Occasion.DANCE, drums=Drums.NONE)


def share_a_pass(one, other):
    """First and second ending are never played on the same pass."""
    return not (one["ending"] and other["ending"] and one["ending"] != other["ending"])


def phrase_of(mark):
    return mark["part"], (mark["bar"] - 1) // PHRASE_BARS


@pytest.mark.parametrize("where", EVERYWHERE)
@laws
@given(tune=graced_tunes())
def test_every_mark_stands_on_a_note_that_exists(where, tune):
    found = document(tune, where)
    places = {(place_of(note), note["note"]) for note in found["played"]["notes"]}
    for mark in found["marks"]:
        assert (place_of(mark), mark["note"]) in places
        assert (place_of(mark["moved"]), mark["moved"]["note"]) in places


@pytest.mark.parametrize("where", EVERYWHERE)
@laws
@given(tune=graced_tunes())
def test_nothing_is_printed_that_cannot_be_heard_or_played(where, tune):
    for mark in document(tune, where)["marks"]:
        assert mark["audibility"]["lab_ratio"] >= 1
        assert mark["producible"]["ratio"] >= 1
        beat_ms = 60_000 / tune.tempo.bpm
        assert abs(mark["ms"]) <= 0.1 * beat_ms + 0.001


@pytest.mark.parametrize("where", EVERYWHERE)
@laws
@given(tune=graced_tunes())
def test_marks_stand_apart(where, tune):
    marks = document(tune, where)["marks"]
    for one, other in combinations(marks, 2):
        if one["part"] == other["part"] and share_a_pass(one, other):
            beats = (other["bar"] - one["bar"]) * tune.metre.beats_per_bar
            assert abs(beats + other["beat"] - one["beat"]) >= SPACING_BEATS
            assert phrase_of(one) != phrase_of(other)


@pytest.mark.parametrize("where", EVERYWHERE)
@laws
@given(tune=graced_tunes())
def test_a_line_carries_no_more_figures_than_its_budget(where, tune):
    found = plan(tune, where)
    licence, figure_of = found.licence, figures_by_place(tune)
    in_line, in_part = Counter(), Counter()
    for figure, part, line in {
        (figure_of[place], place[0], (place[1] - 1) // LINE_BARS)
        for place in map(place_of, document(tune, where)["marks"])
        if place[2] != 2
    }:
        in_line[part, line] += 1
        in_part[part, figure] = 1
    assert all(count <= licence.marks_per_line for count in in_line.values())
    if licence.marks_per_part is not None:
        parts = Counter(part for part, _ in in_part)
        assert all(count <= licence.marks_per_part for count in parts.values())


def figures_by_place(tune):
    return {place: figure for figure, places in figure_places(tune).items() for place in places}


@pytest.mark.parametrize("where", EVERYWHERE)
@laws
@given(tune=graced_tunes())
def test_a_figure_gets_the_same_move_wherever_it_comes_or_none(where, tune):
    moves = {place_of(mark): mark["move"] for mark in document(tune, where)["marks"]}
    for places in figure_places(tune).values():
        here = {moves.get(place) for place in places}
        is_named_lean = where == DANCE_ALONE and here == {None, "lean"}
        assert len(here) == 1 or is_named_lean, places


@laws
@given(tune=graced_tunes())
def test_pipes_alone_for_dancers_lean_where_a_line_starts_and_nowhere_else(tune):
    for mark in document(tune, DANCE_ALONE)["marks"]:
        if mark["move"] == "lean":
            assert mark["beat"] == 1
            assert (mark["bar"] - 1) % LINE_BARS == 0


@pytest.mark.parametrize("where", EVERYWHERE)
@laws
@given(tune=graced_tunes())
def test_planning_twice_gives_the_same_bytes(where, tune):
    once, again = (json.dumps(plan_document(plan(tune, where))).encode() for _ in range(2))
    assert once == again


@pytest.mark.parametrize("rung", [1, 2, 3])
@pytest.mark.parametrize("occasion", Occasion)
@settings(derandomize=True, max_examples=4)
@given(tune=graced_tunes())
def test_control_comes_before_colour(occasion, rung, tune):
    below = document(tune, setting(occasion, rung=rung))
    assert below["marks"] == []
    assert below["licence"]["layers"] == document(tune, setting(occasion))["licence"]["layers"]
    assert "rung_work" in {warning["code"] for warning in below["warnings"]}
