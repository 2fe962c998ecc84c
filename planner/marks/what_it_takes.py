"""A person asks for a move on a note that the engine did not choose: what stands in the way?

Two answers: the binding reason on this occasion, and whether the move could be made by hand.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planner.marks.by_hand import try_by_hand
from planner.marks.choose import Candidate
from planner.marks.marks import LeftOut, Mark, Move
from planner.marks.moves import preference, propose
from planner.marks.stage import Refusal, Stage


@dataclass(frozen=True, slots=True)
class WhatItTakes:
    """One note and move: why the plan has it not, and what a person could do.

    ``ms`` is the size a mark by hand would get, None where it cannot be made at all.
    """

    is_made: bool
    why: str
    by_hand: str
    ms: float | None


def what_it_takes(
    stage: Stage,
    ranked: Sequence[Candidate],
    marks: Sequence[Mark],
    left_out: Sequence[LeftOut],
    index: int,
    move: Move,
) -> WhatItTakes:
    """The binding reason for one move on one note, and what of it can be had by hand."""
    note_id = stage.analysis.notes[index].place.note_id
    here = [mark.move for mark in marks if mark.place.note_id == note_id]
    drafted = try_by_hand(stage, index, move)
    if isinstance(drafted, Refusal):
        by_hand, ms = f"it cannot be made by hand either: {drafted.why}", None
    else:
        by_hand, ms = f"set by hand it is {move} by {abs(drafted.ms):.0f} ms", drafted.ms
    if move in here:
        return WhatItTakes(True, "the plan has this mark", by_hand, ms)
    why = _refused(stage, index, move)
    if not why and here:
        why = f"the note is marked already: {here[0]}"
    left = {each.place.note_id: each.why for each in left_out}
    why = why or _not_chosen(stage, ranked, left, index, move)
    return WhatItTakes(False, why, by_hand, ms)


def _refused(stage: Stage, index: int, move: Move) -> str:
    """Why the move is not possible here by the occasion's rules; empty when it is."""
    if not stage.licence.carries_pulse:
        return "below rung 4 control of the beat comes first, so the plan carries no marks"
    possible, refusals = propose(stage, index)
    if any(proposal.draft.move is move for proposal in possible):
        return ""
    said = [refusal.why for refusal in refusals if refusal.move is move]
    if said:
        return said[0]
    if move not in preference(stage.licence) and move is not Move.BREATHE:
        level = stage.licence.layers.across_bar
        return f"{move} needs the layer across the bar to be agreed or full; here it is {level}"
    return "a breath is for people to set: the planner never chooses one"


def _not_chosen(
    stage: Stage, ranked: Sequence[Candidate], left: dict[str, str], index: int, move: Move
) -> str:
    """Why a possible move was not chosen: the figure, the budget, or another move before it."""
    figure = next((each for each in ranked if index in each.indices), None)
    if figure is None:
        total = stage.analysis.salience[index].total
        least = stage.rules.number("thresholds.salience.threshold")
        return f"the note does not stand out enough: {total:.2f} where {least:g} is needed"
    options = {proposal.draft.move for option in figure.options for proposal in option}
    if move not in options:
        return "the figure comes round again where the same move is not possible"
    why = left.get(stage.analysis.notes[figure.best].place.note_id, "")
    return why or "the planner prefers another move on this figure"
