"""Breathe: the last beat of a phrase eases, and the bar grows.

The only move that changes the length of a bar, so it is made by hand only, and it is a conflict
wherever the layer across the phrase is closed.
"""

from __future__ import annotations

from planner.marks.audibility import heard_from
from planner.marks.marks import Move
from planner.marks.played import Change
from planner.marks.room import beat_share
from planner.marks.stage import Draft, Drafted, Refusal, Stage


def breathe(stage: Stage, index: int, wanted_ms: float | None = None) -> Drafted:
    """Let the last note of a phrase last longer; everything after it comes later."""
    note, grouping = stage.analysis.notes[index], stage.analysis.grouping
    after = note.follower
    if after is None:
        return Refusal(Move.BREATHE, "nothing comes after it")
    closes_bar = stage.analysis.notes[after].bar_index != note.bar_index
    if not closes_bar or not grouping.closes_phrase(note.address.part, note.address.bar):
        return Refusal(Move.BREATHE, "only the last note of a phrase can breathe")
    ioi_ms = stage.analysis.written.length_ms[index]
    is_cadence = index in stage.analysis.cadences
    heard_ms = stage.licence.size_factor * heard_from(ioi_ms, True, is_cadence, True, stage.rules)
    asked_ms = heard_ms if wanted_ms is None else wanted_ms
    return Draft(
        index=index,
        move=Move.BREATHE,
        ms=min(asked_ms, beat_share(stage)),
        moved=after,
        ends=index,
        ioi_ms=ioi_ms,
        change=Change(growth_ms={note.bar_index: min(asked_ms, beat_share(stage))}),
        touched=frozenset((index,)),
        meets=(after,),
    )
