"""What differs when the same tune is played on two occasions, in words and on the staff?"""

from __future__ import annotations

from dataclasses import dataclass

from api.display.differences import LayersApart, occasion_words, what_differs
from api.display.music import MusicView, music_view
from api.display.planned_tune import PlannedTuneView, planned_tune_view
from planner.event.event import Entry
from planner.plan import TunePlan


@dataclass(frozen=True, slots=True)
class SideView:
    """One of the two occasions."""

    name: str
    plan: PlannedTuneView
    music: MusicView


@dataclass(frozen=True, slots=True)
class OccasionsView:
    """A tune on two occasions. ``layers`` are (layer, level left, level right) that differ."""

    address: str
    title: str
    left: SideView
    right: SideView
    layers: LayersApart
    differences: tuple[str, ...]


def occasions_view(key: str, left: TunePlan, right: TunePlan) -> OccasionsView:
    """The same tune on two occasions side by side."""
    layers, differences = what_differs(left, right)
    return OccasionsView(
        address=f"/tunes/{key}",
        title=left.tune.title,
        left=_side(key, left, "left"),
        right=_side(key, right, "right"),
        layers=layers,
        differences=differences,
    )


def _side(key: str, plan: TunePlan, side: str) -> SideView:
    return SideView(
        name=occasion_words(plan),
        plan=planned_tune_view(plan, Entry(key), anchor=side),
        music=music_view(plan.tune, plan.marks, f"{side}-"),
    )
