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
    name = budget_rule(within_beat, is_round, occasion)
    count = int(rules.number(name)) if name else 0
    return Budget(count, count if is_round else None)


def budget_rule(within_beat: Level, is_round: bool, occasion: Occasion) -> str:
    """The rule that gives the budget; empty where the layer within the beat is closed."""
    if within_beat is Level.NONE:
        return ""
    if is_round:
        at_exhibition = occasion is Occasion.EXHIBITION
        return f"thresholds.budget.{'round_exhibition' if at_exhibition else 'round'}"
    return f"thresholds.budget.{'free' if within_beat.is_free else 'slight'}"


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
