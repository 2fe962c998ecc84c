"""What must the drum sergeant know, bar by bar?

Only moved onsets count: a held note that pays its neighbour off the beat asks nothing of a drummer.
``strict`` means that no moved onset meets a stroke; ``watch`` that one comes near enough to be
heard apart; ``follow`` that the drums go along by agreement; ``conflict`` that something is not
agreed and would be heard.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from planner.licence.licence import Licence
from planner.marks.marks import Mark, Move, Verdict
from planner.music.drums import BarKey
from planner.music.tune import Tune


class DrumTempo(StrEnum):
    """What the tune as a whole asks of the drums."""

    STRICT = "strict"
    AGREED = "agreed"
    FREE = "free"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class DrumBarVerdict:
    """One printed bar: the gravest verdict in it and the marks whose moved onset lies in it."""

    part: int
    bar: int
    ending: int
    verdict: Verdict
    moves: tuple[Mark, ...]


@dataclass(frozen=True, slots=True)
class DrumMap:
    """The whole tune for the drums."""

    tempo: DrumTempo
    bars: tuple[DrumBarVerdict, ...]


GRAVITY = (Verdict.STRICT, Verdict.WATCH, Verdict.FOLLOW, Verdict.CONFLICT)


def map_drums(tune: Tune, marks: Sequence[Mark], licence: Licence) -> DrumMap:
    """Every printed bar with its verdict; a pick-up only where a mark before it is met in it."""
    moved = _moved_marks(marks)
    bars = tuple(
        _verdict_of(part.number, bar.number, bar.ending, moved)
        for part in tune.parts
        for bar in part.bars
        if not bar.is_pickup or (part.number, bar.number, bar.ending) in moved
    )
    return DrumMap(_tempo(marks, licence), bars)


def _moved_marks(marks: Sequence[Mark]) -> Mapping[BarKey, Sequence[Mark]]:
    """The marks that move an onset or a movement, by the bar in which a drummer meets them."""
    found: dict[BarKey, list[Mark]] = defaultdict(list)
    for mark in marks:
        if mark.move is not Move.TIGHTEN:
            address = mark.met_at.address
            found[address.part, address.bar, address.ending].append(mark)
    return found


def _verdict_of(
    part: int, bar: int, ending: int, moved: Mapping[BarKey, Sequence[Mark]]
) -> DrumBarVerdict:
    here = tuple(moved.get((part, bar, ending), ()))
    verdict = max((mark.drums for mark in here), key=GRAVITY.index, default=Verdict.STRICT)
    return DrumBarVerdict(part, bar, ending, verdict, here)


def _tempo(marks: Sequence[Mark], licence: Licence) -> DrumTempo:
    if not licence.has_drums:
        return DrumTempo.NONE
    if any(mark.move is Move.BREATHE for mark in marks):
        return DrumTempo.FREE
    is_agreed = any(mark.drums is Verdict.FOLLOW for mark in marks)
    return DrumTempo.AGREED if is_agreed else DrumTempo.STRICT
