"""Marks on any note, with predictions that say nothing."""

import re
from fractions import Fraction

from planner.engraving.engraved import Engraved
from planner.marks.marks import (
    Agreement,
    Audibility,
    Clash,
    Mark,
    Move,
    Producible,
    Verdict,
)
from planner.music.tune import Address, NotePlace

_NOTE = r"p(\d+)b(\d+)e(\d+)n(\d+)"


def mark(note_id: str, move: Move, moved: str = "") -> Mark:
    """A mark on the note of this identity; ``moved`` is the note at the other end."""
    return Mark(
        place=_place(note_id),
        move=move,
        ms=20.0,
        beat_fraction=0.03,
        moved=_place(moved or note_id),
        audibility=Audibility(1.0, 2.0, "heard"),
        producible=Producible(2.0, "sure"),
        clash=Clash(0.0, 0.0, 0.0, "clean"),
        drums=Verdict.STRICT,
        agreement=Agreement.NOT_NEEDED,
        why="for the test",
    )


def marks_on_every(step: int, drawn: Engraved) -> list[Mark]:
    """One mark on each ``step``-th melody note, the moves in turn."""
    names = [name for system in drawn.systems for name in system.notes]
    notes = [name for name in names if re.fullmatch(_NOTE, name)]
    moves = list(Move)
    return [
        mark(notes[index], moves[turn % len(moves)], notes[index + 1])
        for turn, index in enumerate(range(0, len(notes) - 1, step))
    ]


def _place(note_id: str) -> NotePlace:
    match = re.fullmatch(_NOTE, note_id)
    assert match is not None
    part, bar, ending, index = map(int, match.groups())
    return NotePlace(Address(part, bar, ending, Fraction(1)), "B", index)
