"""Will a shift be heard, and can these players make it?

Thresholds are for one displaced tone in a row of tones, which is what a held note with a paying
neighbour is. Times in milliseconds; the interval (IOI) is the written length of the note whose end
is moved, clamped to one second. Outdoors the true thresholds are probably higher.
"""

from __future__ import annotations

from planner.marks.marks import Audibility, Producible
from planner.rules.rulebook import RuleBook


def lab_threshold(ioi_ms: float, rules: RuleBook) -> float:
    """The least shift the best ear hears: ``max(6, 2.5 % of IOI)`` ms.

    Source: friberg_sundberg_1995.
    """
    slope = rules.number("thresholds.audibility.lab_slope")
    return max(rules.number("thresholds.audibility.lab_floor"), slope * clamped(ioi_ms, rules))


def music_threshold(ioi_ms: float, rules: RuleBook) -> float:
    """The shift noticed in a melody: ``min(50, max(20, 5 % of IOI))``. Source: clarke_1989."""
    slope = rules.number("thresholds.audibility.music_slope")
    floor = rules.number("thresholds.audibility.music_floor")
    cap = rules.number("thresholds.audibility.music_cap")
    return min(cap, max(floor, slope * clamped(ioi_ms, rules)))


def clamped(ioi_ms: float, rules: RuleBook) -> float:
    """The interval, not longer than the longest the figures hold for."""
    return min(ioi_ms, rules.number("thresholds.audibility.longest_ioi"))


def heard_from(
    ioi_ms: float, is_later: bool, is_cadence: bool, lengthens: bool, rules: RuleBook
) -> float:
    """The shift in ms at which audibility is 1: ``T_mus x q x s``.

    ``q`` makes late harder to hear than early; ``s`` makes a lengthening harder to hear on a
    cadence note, where players lengthen anyway, and a shortening easier.
    """
    direction = "later" if is_later else "earlier"
    factor = rules.number(f"thresholds.audibility.{direction}_factor")
    cadence = rules.number("thresholds.audibility.cadence_factor") if is_cadence else 1.0
    return music_threshold(ioi_ms, rules) * factor * (cadence if lengthens else 1.0 / cadence)


def judge_audibility(
    shift_ms: float, ioi_ms: float, is_cadence: bool, lengthens: bool, rules: RuleBook
) -> Audibility:
    """How surely a shift is heard: ratios against both thresholds, and the word for it."""
    size = abs(shift_ms)
    ratio = size / heard_from(ioi_ms, shift_ms >= 0, is_cadence, lengthens, rules)
    lab_ratio = size / lab_threshold(ioi_ms, rules)
    return Audibility(ratio, lab_ratio, _audibility_word(ratio, lab_ratio, rules))


def _audibility_word(ratio: float, lab_ratio: float, rules: RuleBook) -> str:
    if lab_ratio < 1.0:
        return "cannot be heard"
    if ratio < rules.number("thresholds.audibility.heard"):
        return "felt, not noticed"
    if ratio < rules.number("thresholds.audibility.strong"):
        return "heard"
    return "strong" if ratio < rules.number("thresholds.audibility.overdone") else "overdone"


def judge_producible(shift_ms: float, sigma_ms: float, rules: RuleBook) -> Producible:
    """Whether players with this timing scatter can make the shift: ``|D| / sigma``."""
    ratio = abs(shift_ms) / sigma_ms
    if ratio >= rules.number("thresholds.scatter.reliable"):
        return Producible(ratio, "reliable")
    is_lost = ratio < rules.number("thresholds.scatter.uncertain")
    return Producible(ratio, "lost in the scatter" if is_lost else "uncertain")
