"""Tighten: a heavy movement is played tight, and the note beside it gains what it gives up.

No beat point moves, so no drum is ever touched.
"""

from __future__ import annotations

from planner.analysis.phrases import opens
from planner.licence.licence import Level
from planner.marks.marks import Move
from planner.marks.played import Change
from planner.marks.room import beat_share
from planner.marks.stage import Draft, Drafted, Refusal, Stage


def tighten(stage: Stage, index: int, wanted_ms: float | None = None) -> Drafted:
    """Play the next movement tight, or its own where a phrase opens.

    How tight is the band's setting, so ``wanted_ms`` makes no difference.
    """
    del wanted_ms
    is_open = stage.licence.layers.within_beat is not Level.NONE
    for owner, shared in (*_next_movement(stage, index), *_own_movement(stage, index)):
        gain_ms, gracenote_ms = _gain(stage, owner, shared)
        if gain_ms > beat_share(stage):
            return Refusal(Move.TIGHTEN, "the movement gives more than a tenth of a beat")
        if gain_ms and not is_open:
            return Refusal(Move.TIGHTEN, "the licence leaves nothing within the beat")
        if gain_ms:
            return _draft(stage, index, owner, gain_ms, gracenote_ms)
    light = "no movement beside it is heavy enough to give time"
    return Refusal(Move.TIGHTEN, light, is_shape=True)


def _draft(stage: Stage, index: int, owner: int, gain_ms: float, gracenote_ms: float) -> Draft:
    written = stage.analysis.written
    return Draft(
        index=index,
        move=Move.TIGHTEN,
        ms=gain_ms,
        moved=owner,
        ends=index,
        ioi_ms=written.gracenotes[owner] * written.gracenote_ms[owner],
        change=Change(gracenote_ms={owner: gracenote_ms}),
        touched=frozenset((index, owner, *stage.analysis.before[owner])),
    )


def _next_movement(stage: Stage, index: int) -> list[tuple[int, int]]:
    """The next note, and how many of its gracenotes come before its beat."""
    after = stage.always_next(index)
    if after is None or stage.analysis.notes[after].bar.is_pickup:
        return []
    return [(after, stage.analysis.written.beat_index[after])]


def _own_movement(stage: Stage, index: int) -> list[tuple[int, int]]:
    """The note itself where it opens a phrase, and how many of its gracenotes delay it."""
    note, written = stage.analysis.notes[index], stage.analysis.written
    opens_phrase = opens(note.address, stage.analysis.grouping) != "bar"
    if note.address.beat != 1 or not opens_phrase or index in stage.analysis.cadences:
        return []
    return [(index, written.gracenotes[index] - written.beat_index[index])]


def _gain(stage: Stage, owner: int, shared: int) -> tuple[float, float]:
    """What ``shared`` gracenotes of a movement give when played tight, and their new length.

    (0, 0) when the movement is too light or gives too little to be worth it.
    """
    rules, written = stage.rules, stage.analysis.written
    usual = written.gracenote_ms[owner]
    shortest = rules.number("thresholds.gracenote.shortest")
    tight = max(rules.number("thresholds.gracenote.tight") * usual, shortest)
    gain = (usual - tight) * shared
    is_heavy = written.gracenotes[owner] >= rules.number("thresholds.tighten.fewest_gracenotes")
    is_enough = round(gain, 6) >= rules.number("thresholds.tighten.smallest_gain")
    return (gain, tight) if is_heavy and is_enough else (0.0, 0.0)
