"""What does one note do at an event, what could it do, and what stands in the way?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from api.display.marks import done_words
from api.display.planned_tune import size_words
from api.display.signs import move_sign
from api.display.words import sentence, sentence_start
from planner.marks.marks import Mark, Move
from planner.marks.outline_marks import NOTE_THERE
from planner.marks.what_it_takes import WhatItTakes
from planner.music.tune import NotePlace
from planner.plan import TunePlan

LEAVE = "leave"
"""What a form sends for a note that nobody is to mark."""
NOR_BY_HAND = "Nor by hand."
NOT_HERE = "It cannot be made on this note."
AS_WRITTEN = "As written: nothing is asked of this note."


@dataclass(frozen=True, slots=True)
class MoveHereView:
    """One move on the note: whether the plan has it, what stands in the way, what a hand can do.

    ``is_possible`` is false where not even a mark by hand can be made.
    """

    move: str
    sign: str
    is_made: bool
    why: str
    by_hand: str
    is_possible: bool = False


@dataclass(frozen=True, slots=True)
class NoteHereView:
    """One note: ``place`` is ``1/3/0/2``; ``hand`` is the number of what somebody set on it.

    ``chosen`` is the move that stands there by hand or by the planner, ``leave`` when somebody
    forbade any, empty for none. ``size`` and ``set_by`` are as somebody wrote them.
    """

    note_id: str
    place: str
    where: str
    state: str
    hand: str
    chosen: str
    moves: tuple[MoveHereView, ...]
    size: str = ""
    set_by: str = ""

    def refusal(self, move: str) -> str:
        """Why this move cannot be set here by hand; empty when it can."""
        for each in self.moves:
            if each.move == move and not each.is_possible:
                return each.why if each.by_hand == NOR_BY_HAND else each.by_hand or NOT_HERE
        return ""


def note_here_view(
    plan: TunePlan, place: NotePlace, answers: Mapping[Move, WhatItTakes], hand: str, will: str
) -> NoteHereView:
    """One note with the engine's answer to every move; ``will`` is what somebody set by hand."""
    marks = [mark for mark in plan.marks if mark.place.note_id == place.note_id]
    made = marks[0].move.value if marks else ""
    return NoteHereView(
        note_id=place.note_id,
        place=place_words(place),
        where=note_words(place),
        state=_state(marks, hand, will),
        hand=hand,
        chosen=will or made,
        moves=tuple(_move(move, answers.get(move)) for move in Move),
    )


def _state(marks: list[Mark], hand: str, will: str) -> str:
    if hand and will == LEAVE:
        return "Left as written, by hand: the planner makes no mark here."
    said = f"{done_words(marks[0])}, {size_words(marks[0])}" if marks else AS_WRITTEN
    if not hand:
        return sentence(sentence_start(said))
    if marks and marks[0].move.value == will:
        return sentence(sentence_start(said if marks[0].by_hand else f"{said}; set by hand"))
    return f"{sentence(sentence_start(said))} Set by hand is {will}, which is not possible here."


def _move(move: Move, told: WhatItTakes | None) -> MoveHereView:
    if told is None:
        return MoveHereView(move.value, move_sign(move), False, "", "")
    is_one_reason = told.ms is None and told.by_hand.endswith(told.why)
    return MoveHereView(
        move=move.value,
        sign=move_sign(move),
        is_made=told.is_made,
        why=sentence(sentence_start(told.why)),
        by_hand=NOR_BY_HAND if is_one_reason else sentence(sentence_start(told.by_hand)),
        is_possible=told.ms is not None,
    )


def note_words(place: NotePlace) -> str:
    """``Part 1, bar 3, beat 1: E``; only the beat where there are no notes."""
    where = sentence_start(str(place.address))
    return where if place.note == NOTE_THERE else f"{where}: {place.note}"


def place_words(place: NotePlace) -> str:
    """The place as a form sends it: part, bar, ending and index."""
    at = place.address
    return f"{at.part}/{at.bar}/{at.ending}/{place.index}"
