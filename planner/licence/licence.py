"""What is a licence? How freely a tune may be played on an occasion, layer by layer.

"Licence" is this planner's word. A layer is a stretch of time inside which a note may move: within
the beat nobody else is touched; across the bar the drums must know; across the phrase the bar grows
and the drums must have agreed; between tunes everybody has drilled the join.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from planner.event.event import Drums, Occasion, Setting, Sort
from planner.findings import Reason


class Level(StrEnum):
    """How much of a layer is open."""

    NONE = "none"
    SLIGHT = "slight"
    AGREED = "agreed"
    FULL = "full"

    @property
    def rank(self) -> int:
        """0 for none to 3 for full."""
        return _ORDER.index(self)

    @property
    def is_free(self) -> bool:
        """True when the layer is agreed or full."""
        return self.rank >= Level.AGREED.rank

    def down(self, steps: int = 1) -> Level:
        """So many levels lower, never below none."""
        return _ORDER[max(0, self.rank - steps)]


_ORDER = (Level.NONE, Level.SLIGHT, Level.AGREED, Level.FULL)


@dataclass(frozen=True, slots=True)
class Layers:
    """The level of each layer."""

    within_beat: Level
    across_bar: Level
    across_phrase: Level
    between_tunes: Level


@dataclass(frozen=True, slots=True)
class Licence:
    """How freely a tune may be played, and why.

    ``marks_per_line`` is the budget of a line; for a round idiom ``marks_per_part`` holds instead
    and is not None. ``may_hold`` is False for round idioms but at an exhibition; ``size_factor``
    scales a free hold. ``sigma_ms`` is the players' timing scatter, one standard deviation;
    ``carries_pulse`` is False when control comes before colour. ``lifted_by`` names the person who
    went above the ceiling, if anybody did, and ``lifted_on`` the day, where it is known.
    """

    setting: Setting
    layers: Layers
    marks_per_line: int
    marks_per_part: int | None
    is_round: bool
    may_hold: bool
    size_factor: float
    sigma_ms: float
    rung: int
    carries_pulse: bool
    reasons: tuple[Reason, ...]
    lifted_by: str = ""
    lifted_on: date | None = None

    @property
    def occasion(self) -> Occasion:
        """The tag."""
        return self.setting.occasion

    @property
    def sort(self) -> Sort:
        """The sort of job within the tag."""
        return self.setting.sort

    @property
    def has_drums(self) -> bool:
        """True when any drum plays."""
        return self.setting.drums is not Drums.NONE

    @property
    def drums_follow(self) -> bool:
        """True when the drums may follow by agreement: a layer beyond the beat is free."""
        return self.has_drums and self.layers.across_bar.is_free

    def with_layers(self, **levels: Level) -> Licence:
        """The same licence with some layers changed."""
        return replace(self, layers=replace(self.layers, **levels))
