"""Early and late: one gracenote of a movement crosses the beat.

The beat point stays, and one sound still lands on it; what moves is where the note itself sounds.
Only where the layer across the bar is free, since a drummer who listens for the note hears it move.
"""

from __future__ import annotations

from planner.marks.borrowing import room
from planner.marks.marks import Move
from planner.marks.played import Change
from planner.marks.room import beat_share
from planner.marks.stage import Draft, Outcome, Refusal, Stage, judge


def early(stage: Stage, index: int) -> Outcome:
    """Start a note's own movement one gracenote earlier, at the expense of the note before."""
    why_not = _closed(stage, index) or _early_closed(stage, index)
    if why_not:
        return Refusal(Move.EARLY, why_not)
    before = stage.analysis.before[index]
    shift_ms = -stage.analysis.written.gracenote_ms[index]
    draft = Draft(
        index=index,
        move=Move.EARLY,
        ms=shift_ms,
        moved=before[0],
        ends=before[0],
        ioi_ms=stage.analysis.written.length_ms[before[0]],
        change=Change(beat_index={index: 1}),
        touched=frozenset((index, *before)),
        meets=_met(stage, index),
        lengthens=False,
    )
    return judge(stage, draft)


def _early_closed(stage: Stage, index: int) -> str:
    note, written = stage.analysis.notes[index], stage.analysis.written
    if written.beat_index[index] >= written.gracenotes[index]:
        return "the whole movement is before the beat already"
    if note.address.beat == 1 and note.address.bar == 1:
        return "the first beat of a part stands"
    before = stage.analysis.before[index]
    can_all_spare = before and all(_can_spare(stage, other, index) for other in before)
    return "" if can_all_spare else "the note before cannot spare a gracenote"


def late(stage: Stage, index: int) -> Outcome:
    """Let the next movement come one gracenote later, so that this note lasts longer."""
    followers = stage.analysis.notes[index].followers
    if len(followers) != 1 or stage.analysis.before[followers[0]] != (index,):
        return Refusal(Move.LATE, "what comes next is not the same every time")
    after = followers[0]
    why_not = _closed(stage, after) or _late_closed(stage, after)
    if why_not:
        return Refusal(Move.LATE, why_not)
    draft = Draft(
        index=index,
        move=Move.LATE,
        ms=stage.analysis.written.gracenote_ms[after],
        moved=after,
        ends=index,
        ioi_ms=stage.analysis.written.length_ms[index],
        change=Change(beat_index={after: -1}),
        touched=frozenset((index, after)),
        meets=_met(stage, after),
    )
    return judge(stage, draft)


def _late_closed(stage: Stage, after: int) -> str:
    if stage.analysis.notes[after].bar.is_pickup:
        return "a pick-up is never moved"
    if stage.analysis.written.beat_index[after] == 0:
        return "the next movement starts on the beat already"
    can_spare = _can_spare(stage, after, after)
    return "" if can_spare else "the next note cannot spare a gracenote"


def _closed(stage: Stage, owner: int) -> str:
    """Why the movement of this note may not come early or late; empty when it may."""
    written, licence = stage.analysis.written, stage.licence
    if not licence.layers.across_bar.is_free:
        return "a movement may come early or late only where the layer across the bar is free"
    if licence.is_round:
        return "a round tune keeps every movement in its place"
    if written.gracenotes[owner] < stage.rules.number("thresholds.shift.fewest_gracenotes"):
        return "there is no movement to bring early or late"
    if written.gracenote_ms[owner] > beat_share(stage):
        return "a gracenote is more than a tenth of a beat at this tempo"
    if _met(stage, owner) and not stage.is_follow_open(owner):
        return "the drums have refused to follow here"
    return ""


def _met(stage: Stage, owner: int) -> tuple[int, ...]:
    """The movement's own note when a drum strikes its beat point."""
    return (owner,) if stage.anchors.is_struck(stage.analysis.notes[owner]) else ()


def _can_spare(stage: Stage, payer: int, owner: int) -> bool:
    spare = room(stage.analysis, payer, stage.rules)
    return spare >= stage.analysis.written.gracenote_ms[owner]
