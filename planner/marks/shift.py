"""Early and late: one gracenote of a movement crosses the beat.

The beat point stays, and one sound still lands on it; what moves is where the note itself sounds.
Only where the layer across the bar is free, since a drummer who listens for the note hears it move.
"""

from __future__ import annotations

from planner.marks.borrowing import room
from planner.marks.marks import Move
from planner.marks.played import Change
from planner.marks.room import crossing_limit
from planner.marks.stage import Draft, Drafted, Refusal, Stage


def early(stage: Stage, index: int, wanted_ms: float | None = None) -> Drafted:
    """Start a note's own movement one gracenote earlier, at the expense of the note before.

    By hand two gracenotes may cross the beat, if ``wanted_ms`` is nearer to two than to one.
    """
    crossing = _crossing(stage, index, wanted_ms)
    unfit = _too_light(stage, index) or _early_unfit(stage, index, crossing)
    if unfit:
        return Refusal(Move.EARLY, unfit, is_shape=True)
    why_not = _closed(stage, index) or _early_closed(stage, index, crossing)
    if why_not:
        return Refusal(Move.EARLY, why_not)
    before = stage.analysis.before[index]
    return Draft(
        index=index,
        move=Move.EARLY,
        ms=-crossing * stage.analysis.written.gracenote_ms[index],
        moved=before[0],
        ends=before[0],
        ioi_ms=stage.analysis.written.length_ms[before[0]],
        change=Change(beat_index={index: crossing}),
        touched=frozenset((index, *before)),
        meets=_met(stage, index),
        lengthens=False,
    )


def _early_unfit(stage: Stage, index: int, crossing: int) -> str:
    note, written = stage.analysis.notes[index], stage.analysis.written
    if written.beat_index[index] + crossing > written.gracenotes[index]:
        return "the whole movement is before the beat already"
    if note.address.beat == 1 and note.address.bar == 1:
        return "the first beat of a part stands"
    return ""


def _early_closed(stage: Stage, index: int, crossing: int) -> str:
    written = stage.analysis.written
    before = stage.analysis.before[index]
    cost_ms = crossing * written.gracenote_ms[index]
    can_all_spare = before and all(_spares(stage, payer, cost_ms) for payer in before)
    return "" if can_all_spare else "the note before cannot spare a gracenote"


def late(stage: Stage, index: int, wanted_ms: float | None = None) -> Drafted:
    """Let the next movement come one gracenote later (two by hand), so that this note lasts."""
    after = stage.always_next(index)
    if after is None or stage.analysis.before[after] != (index,):
        return Refusal(Move.LATE, "what comes next is not the same every time", is_shape=True)
    crossing = _crossing(stage, after, wanted_ms)
    unfit = _too_light(stage, after) or _late_unfit(stage, after, crossing)
    if unfit:
        return Refusal(Move.LATE, unfit, is_shape=True)
    why_not = _closed(stage, after) or _late_closed(stage, after, crossing)
    if why_not:
        return Refusal(Move.LATE, why_not)
    return Draft(
        index=index,
        move=Move.LATE,
        ms=crossing * stage.analysis.written.gracenote_ms[after],
        moved=after,
        ends=index,
        ioi_ms=stage.analysis.written.length_ms[index],
        change=Change(beat_index={after: -crossing}),
        touched=frozenset((index, after)),
        meets=_met(stage, after),
    )


def _late_unfit(stage: Stage, after: int, crossing: int) -> str:
    if stage.analysis.notes[after].bar.is_pickup:
        return "a pick-up is never moved"
    if stage.analysis.written.beat_index[after] < crossing:
        return "the next movement starts on the beat already"
    return ""


def _late_closed(stage: Stage, after: int, crossing: int) -> str:
    written = stage.analysis.written
    can_spare = _spares(stage, after, crossing * written.gracenote_ms[after])
    return "" if can_spare else "the next note cannot spare a gracenote"


def _crossing(stage: Stage, owner: int, wanted_ms: float | None) -> int:
    """How many gracenotes cross the beat: one, or by hand two."""
    if wanted_ms is None:
        return 1
    return 2 if abs(wanted_ms) > 1.5 * stage.analysis.written.gracenote_ms[owner] else 1


def _too_light(stage: Stage, owner: int) -> str:
    fewest = stage.rules.number("thresholds.shift.fewest_gracenotes")
    is_movement = stage.analysis.written.gracenotes[owner] >= fewest
    return "" if is_movement else "there is no movement to bring early or late"


def _closed(stage: Stage, owner: int) -> str:
    """Why the movement of this note may not come early or late; empty when it may."""
    written, licence = stage.analysis.written, stage.licence
    if not licence.layers.across_bar.is_free:
        return "a movement may come early or late only where the layer across the bar is free"
    if licence.is_round:
        return "a round tune keeps every movement in its place"
    if written.gracenote_ms[owner] > crossing_limit(stage, stage.analysis.notes[owner]):
        return "a gracenote is more than a tenth of a beat, or than the drums follow"
    if _met(stage, owner) and not stage.is_follow_open(owner):
        return "the drums have refused to follow here"
    return ""


def _met(stage: Stage, owner: int) -> tuple[int, ...]:
    """The movement's own note when a drum strikes its beat point."""
    return (owner,) if stage.anchors.is_struck(stage.analysis.notes[owner]) else ()


def _spares(stage: Stage, payer: int, cost_ms: float) -> bool:
    return room(stage.analysis, payer, stage.rules) >= cost_ms
