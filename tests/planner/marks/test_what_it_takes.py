from fractions import Fraction

import pytest

from planner.event.event import SORTS_BY_OCCASION, Control, Drums, Occasion, Setting
from planner.licence.licence import Level
from planner.marks.choices import ByHand, Choices, Lifted
from planner.marks.marks import Move
from planner.marks.what_it_takes import what_it_takes
from planner.music.drums import DrumBar, DrumScore, DrumVoice
from planner.plan import plan_marks, plan_tune, prepare
from planner.rules.load import load_rulebook
from tests.builders import tune

BOOK = load_rulebook()
MUSIC = "2/4 |: e2 | {g}A4 {GdGe}A3B | {gcd}c3e {ag}a3e | {Gdc}d3B {g}c3A | {gBd}B3A {GdG}B2 :|"
TUNE = tune(MUSIC, length="1/16", idiom="march", tempo=80)


def setting(occasion="exhibition", rung=4):
    where = Occasion(occasion)
    return Setting(where, SORTS_BY_OCCASION[where][0], Drums.FULL, Control(rung))


def ask(index, move, occasion="exhibition", rung=4):
    ground = prepare(TUNE, setting(occasion, rung), BOOK)
    plan = plan_marks(ground)
    return plan, what_it_takes(ground.stage, ground.ranked, plan.marks, plan.left_out, index, move)


def test_a_mark_that_is_there_is_said_to_be_there():
    marks = plan_tune(TUNE, setting(), BOOK).marks
    notes = {
        note.place.note_id: note.index
        for note in prepare(TUNE, setting(), BOOK).stage.analysis.notes
    }
    assert marks
    for mark in marks:
        _, answer = ask(notes[mark.place.note_id], mark.move)
        assert answer.is_made


def test_a_pick_up_is_never_marked_and_not_by_hand_either():
    _, answer = ask(0, Move.HOLD)
    assert (answer.is_made, answer.why, answer.ms) == (False, "a pick-up is never marked", None)
    assert "either: a pick-up is never marked" in answer.by_hand


def test_a_closed_layer_is_named_and_by_hand_the_move_can_be_had():
    _, answer = ask(3, Move.EARLY, "parade")
    assert (
        answer.why == "early needs the layer across the bar to be agreed or full; here it is none"
    )


def asked_of(abc, index, move, occasion="competition", **more):
    """The answer about one note of a march in semiquavers."""
    built = tune(abc, length="1/16", idiom="march", tempo=more.get("tempo", 76))
    control = Control(4, more.get("sigma_ms"))
    where = Setting(Occasion(occasion), SORTS_BY_OCCASION[occasion][0], Drums.FULL, control)
    choices = Choices(drum_score=more.get("score"))
    ground = prepare(built, where, BOOK, choices=choices)
    plan = plan_marks(ground, choices)
    return what_it_takes(ground.stage, ground.ranked, plan.marks, plan.left_out, index, move)


STRUCK = DrumScore({DrumVoice.SNARE: {(1, 1, 0): DrumBar(tuple(map(Fraction, ("0", "3/4", "1"))))}})
# Every reason that can bind, each on a bar made for it: the layers of timing-model section 1,
# payers and limits of section 4, choice of section 5.
REASONS = {
    "the layer is closed": (
        ("2/4 | {g}A4 c2e2 | A8 |]", 0, Move.LEAN, "parade"),
        {},
        "the licence leaves nothing across the bar",
    ),
    "nobody can pay": (
        ("2/4 | {g}A4 c2e2 | A8 |]", 0, Move.HOLD, "exhibition"),
        {},
        "no note of the same beat can pay for a hold",
    ),
    "the payer has no room": (
        ("2/4 | A3B {GdGe}A4 | A8 |]", 0, Move.HOLD, "competition"),
        # At 100 the B lasts 150 ms; the taorluath takes 105 of them, and 60 it needs.
        {"tempo": 100},
        "the note after it cannot spare anything",
    ),
    "a drum strikes": (
        ("2/4 | A3B {g}c4 | A8 |]", 0, Move.HOLD, "parade"),
        {"score": STRUCK},
        "a drum strikes where the next note starts, and the drums are strict",
    ),
    "the budget is spent": (
        ("2/4 | A3B c3d | e3f e4 | d3c B3A | A8 |]", 7, Move.HOLD, "parade"),
        {},
        "the line has all the marks it may carry",
    ),
    "another mark is near": (
        ("2/4 | A3B c3d | e3f e4 |]", 4, Move.HOLD, "competition"),
        {},
        "another mark stands in this phrase",
    ),
    "the note is marked otherwise": (
        ("2/4 | {g}A4 {GdGe}A3B | A8 |]", 0, Move.TIGHTEN, "competition"),
        {},
        "the note is marked already: late",
    ),
    "nobody would hear it": (
        ("2/4 | A3B {GdGe}A4 | A8 |]", 0, Move.HOLD, "parade"),
        # At 86 the B lasts 174.4 ms and can spare 9.4; the A lasts 523 ms, 2.5 % of it is 13.1.
        {"tempo": 86, "sigma_ms": 5.0},
        "the shift that fits here cannot be heard",
    ),
    "nobody would notice it": (
        ("2/4 | A3B {GdGe}A4 | A8 |]", 0, Move.HOLD, "competition"),
        # At 80 the B lasts 187.5 ms and can spare 22.5, where 5 % of 562.5, later, are 30.9.
        {"tempo": 80},
        "the shift that fits here would not be noticed",
    ),
    "it would be lost": (
        ("2/4 | A3B {g}c4 | A8 |]", 0, Move.HOLD, "parade"),
        {"sigma_ms": 40.0},
        "the shift would be lost in the players' own scatter",
    ),
}


@pytest.mark.parametrize("name", REASONS)
def test_the_reason_that_binds_is_named(name):
    asked, more, why = REASONS[name]
    answer = asked_of(*asked, **more)
    assert (answer.is_made, answer.why) == (False, why)


def test_below_rung_four_the_reason_is_control():
    _, answer = ask(2, Move.HOLD, rung=2)
    assert "control of the beat comes first" in answer.why


def test_a_breath_is_for_people():
    _, answer = ask(2, Move.BREATHE)
    assert "a breath is for people to set" in answer.why


@pytest.mark.parametrize("move", list(Move))
@pytest.mark.parametrize("occasion", ["parade", "exhibition", "competition", "dance"])
def test_every_note_and_move_has_an_answer_that_agrees_with_the_plan(move, occasion):
    ground = prepare(TUNE, setting(occasion), BOOK)
    plan = plan_marks(ground)
    made = {(mark.place.note_id, mark.move) for mark in plan.marks}
    for note in ground.stage.analysis.notes:
        answer = what_it_takes(
            ground.stage, ground.ranked, plan.marks, plan.left_out, note.index, move
        )
        assert answer.is_made == ((note.place.note_id, move) in made)
        assert answer.why


@pytest.mark.parametrize("move", [Move.HOLD, Move.LATE, None])
def test_a_plan_on_prepared_ground_is_the_plan_from_the_start(move):
    ground = prepare(TUNE, setting(), BOOK)
    for index in range(3):
        choices = Choices(by_hand=(ByHand(1, 1, 0, index, move, None, "a player"),))
        assert plan_marks(ground, choices) == plan_tune(TUNE, setting(), BOOK, choices=choices)


def test_a_lifted_licence_names_the_person_and_opens_the_layer():
    lifted = Lifted((("across_bar", Level.AGREED),), "the pipe-major")
    plan = plan_tune(TUNE, setting("parade"), BOOK, choices=Choices(lifted=lifted))
    assert plan.licence.lifted_by == "the pipe-major"
    assert plan.licence.layers.across_bar is Level.AGREED
    assert plan_tune(TUNE, setting("parade"), BOOK).licence.lifted_by == ""
