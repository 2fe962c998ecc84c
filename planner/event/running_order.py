"""Which items fit into the time, and in which order do they make a concert?

Choosing is a small integer programme (the only use of SciPy, loaded when it is first asked for);
ordering is exact: dynamic programming over the sets of items already played. Both are proposals
with their reasons. Points against an order are whole numbers from the rule book, so that equal
orders are equal and the one nearest to the order given is taken.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planner.errors import RequestError
from planner.event.amounts import not_negative, plain
from planner.findings import Reason
from planner.music.tempo import Metre
from planner.rules.rulebook import Quantity, RuleBook

_Weighed = tuple[Quantity, int]


@dataclass(frozen=True, slots=True)
class Candidate:
    """An item that might be played. ``worth`` is a whole number: how much it is wanted.

    ``tunes`` are the keys of its tunes, since no tune is played twice. An item without metre,
    idiom or tonal centre (drums only) has nothing in common with its neighbours.
    """

    key: str
    name: str
    seconds: float
    worth: int = 1
    tunes: frozenset[str] = frozenset()
    metre: Metre | None = None
    idiom: str = ""
    tonal_centre: str = ""
    is_required: bool = False
    is_easy: bool = True
    is_strong: bool = True
    is_known: bool = True


@dataclass(frozen=True, slots=True)
class RunningOrder:
    """A proposed order, its points (fewer is better), and what is left to be said against it."""

    items: tuple[Candidate, ...]
    points: int
    reasons: tuple[Reason, ...]


def running_order(
    candidates: Sequence[Candidate], seconds: float, rulebook: RuleBook, gap_s: float = 0.0
) -> RunningOrder:
    """The items that fit into the time, in the order that varies them most.

    Raises:
        RequestError: the required items do not fit, or too many items to order.
    """
    return order_items(select_items(candidates, seconds, gap_s), rulebook)


def select_items(
    candidates: Sequence[Candidate], seconds: float, gap_s: float = 0.0
) -> tuple[Candidate, ...]:
    """The items worth most that fit into the time with a gap between, no tune twice.

    Raises:
        RequestError: negative lengths, or the required items cannot be played together.
    """
    room = not_negative("time", seconds, "the seconds there are to fill")
    gap = not_negative("gap", gap_s, "the seconds between two items")
    lengths = [not_negative(each.name, each.seconds, "its seconds") + gap for each in candidates]
    if not candidates:
        return ()
    chosen = _solve(candidates, [float(length) for length in lengths], float(room + gap))
    if chosen is None:
        problem = f"the required items do not fit into {plain(seconds)} s, or share a tune"
        raise RequestError("running order", problem, "give more time or fewer required items")
    return tuple(each for each, is_in in zip(candidates, chosen, strict=True) if is_in)


def order_items(items: Sequence[Candidate], rulebook: RuleBook) -> RunningOrder:
    """The order with the fewest points against it, exactly; ties go to the order given.

    Raises:
        RequestError: more items than can be ordered exactly.
    """
    most = int(rulebook.number("running_order.limit.most_items"))
    if len(items) > most:
        problem = f"{len(items)} items are too many to order"
        raise RequestError("running order", problem, f"give at most {most}")
    if not items:
        return RunningOrder((), 0, ())
    places = _fewest_points(_Points(items, rulebook))
    ordered = tuple(items[place] for place in places)
    against = points_against(ordered, rulebook)
    reasons = tuple(rule.reason(f"{where}: {rule.why}") for rule, _, where in against)
    return RunningOrder(ordered, sum(points for _, points, _ in against), reasons)


def points_against(
    ordered: Sequence[Candidate], rulebook: RuleBook
) -> list[tuple[Quantity, int, str]]:
    """Every point for or against an order: the rule, its points, and where."""
    found = []
    last = len(ordered) - 1
    for place, item in enumerate(ordered):
        if place:
            where = f"{ordered[place - 1].name} to {item.name}"
            found += [(*each, where) for each in _neighbours(ordered[place - 1], item, rulebook)]
        found += [(*each, item.name) for each in _place(item, place, last, rulebook)]
    return found


class _Points:
    """Points of every place and pair, reckoned once."""

    def __init__(self, items: Sequence[Candidate], rulebook: RuleBook) -> None:
        self.count = len(items)
        last = self.count - 1
        self.place = [
            [_sum(_place(item, place, last, rulebook)) for item in items]
            for place in range(self.count)
        ]
        self.pair = [
            [_sum(_neighbours(first, second, rulebook)) for second in items] for first in items
        ]


def _fewest_points(points: _Points) -> tuple[int, ...]:
    # best[played][last]: fewest points of an order of the items in the bit set, ending on last,
    # and that order. Comparing (points, order) makes ties fall to the order given.
    everything = (1 << points.count) - 1
    best: dict[int, dict[int, tuple[int, tuple[int, ...]]]] = {
        1 << item: {item: (points.place[0][item], (item,))} for item in range(points.count)
    }
    for played in sorted(range(1, everything), key=int.bit_count):
        for last, (so_far, order) in best[played].items():
            for item in range(points.count):
                if played >> item & 1:
                    continue
                total = so_far + points.pair[last][item] + points.place[len(order)][item]
                reached = best.setdefault(played | 1 << item, {})
                offer = (total, (*order, item))
                reached[item] = min(reached.get(item, offer), offer)
    return min(best[everything].values())[1]


def _neighbours(first: Candidate, second: Candidate, rulebook: RuleBook) -> list[_Weighed]:
    centres = f"{first.tonal_centre} to {second.tonal_centre}"
    lifting = rulebook["joins.lift.lifting"].value
    checks = {
        "same_metre": first.metre is not None and first.metre == second.metre,
        "same_idiom": bool(first.idiom) and first.idiom == second.idiom,
        "same_centre": bool(first.tonal_centre) and first.tonal_centre == second.tonal_centre,
        "same_strength": first.is_strong == second.is_strong,
        "lift": isinstance(lifting, tuple) and centres in lifting,
    }
    return [_weighed(f"neighbour.{name}", 1, rulebook) for name, holds in checks.items() if holds]


def _place(item: Candidate, place: int, last: int, rulebook: RuleBook) -> list[_Weighed]:
    off_middle = abs(2 * place - last)
    checks = {
        "weak_opening": place == 0 and not item.is_strong,
        "hard_opening": place == 0 and not item.is_easy,
        "unknown_finish": place == last and not item.is_known,
    }
    found = [_weighed(f"place.{name}", 1, rulebook) for name, holds in checks.items() if holds]
    if not item.is_known and off_middle > 1:
        found.append(_weighed("place.unknown_off_middle", off_middle, rulebook))
    return found


def _weighed(name: str, times: int, rulebook: RuleBook) -> _Weighed:
    rule = rulebook[f"running_order.{name}"]
    return rule, times * round(rulebook.number(rule.key))


def _sum(weighed: Sequence[_Weighed]) -> int:
    return sum(points for _, points in weighed)


def _solve(
    candidates: Sequence[Candidate], lengths: Sequence[float], room: float
) -> list[bool] | None:
    from scipy.optimize import Bounds, LinearConstraint, milp  # noqa: PLC0415 - heavy, first use

    count = len(candidates)
    # Worth is whole, so these crumbs decide between equals only: the earlier candidate goes first.
    crumbs = [(count - place) / (count * (count + 1)) for place in range(count)]
    gain = [each.worth + crumb for each, crumb in zip(candidates, crumbs, strict=True)]
    shared = sorted({tune for each in candidates for tune in each.tunes})
    once = [[float(tune in each.tunes) for each in candidates] for tune in shared]
    found = milp(
        [-each for each in gain],
        integrality=[1] * count,
        bounds=Bounds([float(each.is_required) for each in candidates], [1.0] * count),
        constraints=LinearConstraint(
            [list(lengths), *once], -float("inf"), [room, *[1.0] * len(once)]
        ),
        options={"mip_rel_gap": 0.0},
    )
    return None if found.x is None else [share > 0.5 for share in found.x]
