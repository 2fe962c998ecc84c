"""How many marks does a level allow, of which moves, and how large may they be?"""

from __future__ import annotations

from dataclasses import dataclass

from planner.event.event import Control, Occasion
from planner.licence.licence import Level
from planner.rules.rulebook import RuleBook

HIGHEST_RUNG = 4


@dataclass(frozen=True, slots=True)
class Budget:
    """Marks a line, or marks a part for a round idiom."""

    per_line: int
    per_part: int | None


def budget_of(within_beat: Level, is_round: bool, occasion: Occasion, rules: RuleBook) -> Budget:
    """The budget of marks; nothing where the layer within the beat is closed."""
    if within_beat is Level.NONE:
        return Budget(0, 0 if is_round else None)
    if is_round:
        at_exhibition = occasion is Occasion.EXHIBITION
        name = "round_exhibition" if at_exhibition else "round"
        per_part = int(rules.number(f"thresholds.budget.{name}"))
        return Budget(per_part, per_part)
    name = "free" if within_beat.is_free else "slight"
    return Budget(int(rules.number(f"thresholds.budget.{name}")), None)


def size_factor(idiom_key: str, occasion: Occasion, rules: RuleBook) -> float:
    """How much larger than just heard a free hold is made in this idiom on this occasion."""
    name = "exhibition_size" if occasion is Occasion.EXHIBITION else "competition_size"
    return rules.number(f"idioms.{idiom_key}.{name}")


def timing_scatter(control: Control, rules: RuleBook) -> tuple[int, float]:
    """The rung (4 where nobody has said) and the players' timing scatter in ms."""
    rung = control.rung if control.rung is not None else HIGHEST_RUNG
    if control.measured_sd_ms is not None:
        return rung, control.measured_sd_ms
    return rung, rules.number(f"thresholds.scatter.rung_{rung}")
