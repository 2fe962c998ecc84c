"""Which moves could one note make under this licence, and what stands in the way of the others?

Nothing is chosen here: possible moves come in the order in which they are preferred.
"""

from __future__ import annotations

from collections.abc import Callable

from planner.event.event import Occasion
from planner.licence.licence import Licence
from planner.marks.lengthen import hold, lean, opens_a_line
from planner.marks.marks import Move
from planner.marks.shift import early, late
from planner.marks.stage import Drafted, Proposal, Refusal, Stage, judge
from planner.marks.tighten import tighten

WORK_OUT: dict[Move, Callable[[Stage, int, float | None], Drafted]] = {
    Move.HOLD: hold,
    Move.EARLY: early,
    Move.LATE: late,
    Move.TIGHTEN: tighten,
    Move.LEAN: lean,
}
SHIFTS = (Move.EARLY, Move.LATE)


def propose(stage: Stage, index: int) -> tuple[list[Proposal], list[Refusal]]:
    """Every move of one note: the possible ones, most preferred first, and the refusals."""
    order = preference(stage.licence)
    why_not = why_never_marked(stage, index)
    if why_not:
        return [], [Refusal(move, why_not) for move in order]
    drafted = [WORK_OUT[move](stage, index, None) for move in order]
    outcomes = [each if isinstance(each, Refusal) else judge(stage, each) for each in drafted]
    possible = [outcome for outcome in outcomes if isinstance(outcome, Proposal)]
    refused = [outcome for outcome in outcomes if isinstance(outcome, Refusal)]
    return _surer_shift_first(possible), refused


def preference(licence: Licence) -> tuple[Move, ...]:
    """The order in which moves are preferred under this licence."""
    if licence.layers.across_bar.is_free:
        return (Move.HOLD, Move.EARLY, Move.LATE, Move.TIGHTEN, Move.LEAN)
    if licence.occasion is Occasion.DANCE and not licence.has_drums:
        return (Move.HOLD, Move.LEAN, Move.TIGHTEN)
    return (Move.HOLD, Move.TIGHTEN, Move.LEAN)


def why_never_marked(stage: Stage, index: int) -> str:
    """Why this note may not be marked at all; empty when it may."""
    note, written = stage.analysis.notes[index], stage.analysis.written
    if note.bar.is_pickup:
        return "a pick-up is never marked"
    if note.note.is_rest or note.note.tied_on:
        return "a rest or a tied note has nothing to move"
    if index in written.tight:
        return "the corner is tight already: this note only just sounds"
    if written.length_ms[index] < stage.rules.number("thresholds.note.shortest_in_play"):
        return "the note is too short to be shaped"
    return ""


def is_named_by_licence(stage: Stage, proposal: Proposal) -> bool:
    """True for a lean whose place the licence names: the figure need not be alike elsewhere."""
    licence, draft = stage.licence, proposal.draft
    is_dance_alone = licence.occasion is Occasion.DANCE and not licence.has_drums
    return is_dance_alone and draft.move is Move.LEAN and opens_a_line(stage, draft.index)


def _surer_shift_first(possible: list[Proposal]) -> list[Proposal]:
    """Early and late share a rank: the surer heard first, of two equal the drum-safe one."""
    shifts = sorted(
        (proposal for proposal in possible if proposal.draft.move in SHIFTS),
        key=lambda proposal: (-round(proposal.audibility.ratio, 9), bool(proposal.draft.meets)),
    )
    ranked = iter(shifts)
    return [next(ranked) if proposal.draft.move in SHIFTS else proposal for proposal in possible]
