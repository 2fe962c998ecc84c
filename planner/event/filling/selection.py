"""Which items fit into the time and are worth most? The one door to SciPy.

A small integer programme, solved by HiGHS and loaded when it is first asked for. It stops at the
rule book's seconds; how far the best it found may lie below the best there is, is part of the
answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor
from typing import Any

from planner.errors import RequestError
from planner.event.amounts import not_negative, plain
from planner.event.filling.candidates import Candidate
from planner.rules.rulebook import RuleBook

TIME_LIMIT = "running_order.limit.seconds"
INFEASIBLE = 2
SLACK = 1e-6


@dataclass(frozen=True, slots=True)
class Room:
    """The seconds there are to fill, and the seconds between two items."""

    seconds: float
    gap_s: float = 0.0

    def holds(self, items: Sequence[Candidate]) -> bool:
        """True when these items fit with their gaps, and no tune is among them twice."""
        tunes = [tune for each in items for tune in each.tunes]
        gaps = self.gap_s * max(0, len(items) - 1)
        is_short = sum(each.seconds for each in items) + gaps <= self.seconds
        return is_short and len(tunes) == len(set(tunes))


@dataclass(frozen=True, slots=True)
class Selection:
    """The items chosen, in the order given.

    ``gap`` is the share by which any other choice could be worth more at most: 0 when it is proven
    that none is.
    """

    items: tuple[Candidate, ...]
    gap: float = 0.0


def select_items(candidates: Sequence[Candidate], room: Room, rulebook: RuleBook) -> Selection:
    """The items worth most that fit into the time with a gap between, no tune twice.

    Raises:
        RequestError: negative lengths, or the required items cannot be played together.
    """
    seconds = not_negative("time", room.seconds, "the seconds there are to fill")
    gap = not_negative("gap", room.gap_s, "the seconds between two items")
    lengths = [not_negative(each.name, each.seconds, "its seconds") + gap for each in candidates]
    if not candidates:
        return Selection(())
    found = _solve(
        candidates,
        [float(length) for length in lengths],
        float(seconds + gap),
        rulebook.number(TIME_LIMIT),
    )
    if found.x is None:
        raise _nothing_found(found, room)
    chosen = zip(candidates, found.x, strict=True)
    items = tuple(each for each, share in chosen if share > 0.5)
    return Selection(items, _gap(items, float(found.mip_dual_bound)))


def _gap(items: Sequence[Candidate], bound: float) -> float:
    """How far below the solver's bound is what was chosen? Worth is whole, and so is the most."""
    most = floor(-bound + SLACK)
    worth = sum(each.worth for each in items)
    return max(0, most - worth) / most if most else 0.0


def _nothing_found(found: Any, room: Room) -> RequestError:
    if found.status == INFEASIBLE:
        problem = f"the required items do not fit into {plain(room.seconds)} s, or share a tune"
        return RequestError("running order", problem, "give more time or fewer required items")
    problem = "no choice was found in the time there is for looking"
    return RequestError("running order", problem, "offer fewer items")


def _solve(
    candidates: Sequence[Candidate], lengths: Sequence[float], room: float, limit_s: float
) -> Any:
    from scipy.optimize import Bounds, LinearConstraint, milp  # noqa: PLC0415 - heavy, first use

    count = len(candidates)
    shared = sorted({tune for each in candidates for tune in each.tunes})
    once = [[float(tune in each.tunes) for each in candidates] for tune in shared]
    return milp(
        [-each.worth for each in candidates],
        integrality=[1] * count,
        bounds=Bounds([float(each.is_required) for each in candidates], [1.0] * count),
        constraints=LinearConstraint(
            [list(lengths), *once], -float("inf"), [room, *[1.0] * len(once)]
        ),
        options={"mip_rel_gap": 0.0, "time_limit": limit_s},
    )
