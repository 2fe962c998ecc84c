"""Does a moved onset meet a drum stroke, and how often will it be a flam?

A clash belongs to the moved onset, not to the held note. Shifts in milliseconds, later positive;
scatter is one standard deviation. No published measurement sets pipes against drums: the thresholds
are borrowed from a groove study.
"""

from __future__ import annotations

import math
from statistics import NormalDist

from planner.marks.marks import Clash
from planner.rules.rulebook import RuleBook


def flam_threshold(is_late: bool, rules: RuleBook) -> float:
    """The shift in ms from which pipes and drums are heard apart. Source: groove_preprint.

    A listener nearer to one of them has part of it used up before anybody errs: by the difference
    of the two ways, which is a setting.
    """
    base = rules.number(f"thresholds.clash.{'late' if is_late else 'early'}")
    metres = rules.number("thresholds.clash.path_difference")
    used_up = rules.number("thresholds.clash.ms_a_metre") * metres
    return max(base - used_up, rules.number("thresholds.clash.floor"))


def clash_ratio(shift_ms: float, rules: RuleBook, is_in_roll: bool = False) -> float:
    """``|D| / F`` of a shift at a stroke; a roll forgives, since it has no single stroke."""
    ratio = abs(shift_ms) / flam_threshold(shift_ms >= 0, rules)
    return ratio * rules.number("thresholds.clash.roll_factor") if is_in_roll else ratio


def flam_probability(shift_ms: float, joint_sigma_ms: float, rules: RuleBook) -> float:
    """The chance (0 to 1) that pipes and drums fall apart audibly at a stroke.

    ``P = [1 - N((F_late - D) / sigma)] + N((-F_early - D) / sigma)``.
    """
    normal = NormalDist()
    late = flam_threshold(True, rules)
    early = flam_threshold(False, rules)
    too_late = 1.0 - normal.cdf((late - shift_ms) / joint_sigma_ms)
    too_early = normal.cdf((-early - shift_ms) / joint_sigma_ms)
    return too_late + too_early


def joint_scatter(pipes_sigma_ms: float, rules: RuleBook) -> float:
    """Scatter of pipes against drums: both scatters together, in ms."""
    return math.hypot(pipes_sigma_ms, rules.number("thresholds.scatter.drums"))


def judge_clash(
    shift_ms: float, ratio: float, meets_stroke: bool, sigma_ms: float, rules: RuleBook
) -> Clash:
    """The clash of a mark; where no stroke is met, or the drums go along, its shift counts as 0."""
    sigma = joint_scatter(sigma_ms, rules)
    with_mark = flam_probability(shift_ms if meets_stroke else 0.0, sigma, rules)
    without = flam_probability(0.0, sigma, rules)
    return Clash(ratio, 100.0 * with_mark, 100.0 * without, clash_word(ratio, rules))


def clash_word(ratio: float, rules: RuleBook) -> str:
    """The word for a clash ratio: clean, watch, risk or flam."""
    if ratio < rules.number("thresholds.clash.watch"):
        return "clean"
    if ratio < rules.number("thresholds.clash.risk"):
        return "watch"
    return "risk" if ratio < rules.number("thresholds.clash.flam") else "flam"
