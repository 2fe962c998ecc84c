"""How far may an onset move?

Never beyond a tenth of a beat, never at the first note of a bar, and where a drum strikes only as
far as the drums go along. Shifts in milliseconds.
"""

from __future__ import annotations

from planner.analysis.beats import PlacedNote
from planner.licence.licence import Level
from planner.marks.clash import flam_threshold
from planner.marks.stage import Stage


def onset_limit(stage: Stage, note: PlacedNote, is_late: bool) -> float:
    """How far this note's beat point may move, in ms; 0 where it stands."""
    widest = beat_share(stage)
    if note.address.beat == 1:
        return 0.0
    if stage.anchors.is_struck(note):
        widest = min(widest, _struck_limit(stage, note, is_late))
    if stage.anchors.is_in_roll(note):
        inside = stage.rules.number("thresholds.limit.roll") * flam_threshold(is_late, stage.rules)
        widest = min(widest, inside)
    return widest


def _struck_limit(stage: Stage, note: PlacedNote, is_late: bool) -> float:
    if not stage.licence.drums_follow:
        return 0.0
    if not stage.is_follow_open(note.index):
        return stage.rules.number(f"thresholds.limit.refused_{'late' if is_late else 'early'}")
    if stage.licence.layers.across_bar is Level.AGREED:
        return stage.rules.number("thresholds.limit.agreed")
    return beat_share(stage)


def crossing_limit(stage: Stage, note: PlacedNote) -> float:
    """How far a movement may cross its beat, in ms; the beat point itself stands."""
    widest = beat_share(stage)
    by_agreement = stage.licence.layers.across_bar is Level.AGREED
    if by_agreement and stage.anchors.is_struck(note):
        return min(widest, stage.rules.number("thresholds.limit.agreed"))
    return widest


def beat_share(stage: Stage) -> float:
    """The widest shift of all: a tenth of a felt beat, in ms."""
    return stage.rules.number("thresholds.limit.share_of_beat") * stage.beat_ms
