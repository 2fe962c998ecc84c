"""In which order do the items that fit make a concert?

Choosing is done in ``selection.py``; ordering is exact: dynamic programming over the sets of items
already played. Then items are exchanged for others worth as much that suit their neighbours better.
All of it is a proposal with its reasons. Points against an order are whole numbers from the rule
book, so that equal orders are equal and the one nearest to the order given is taken.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from planner.errors import RequestError
from planner.event.filling.candidates import Candidate
from planner.event.filling.selection import Room, select_items
from planner.event.joins import Lift, Smoothness, judge_join
from planner.findings import Reason
from planner.rules.rulebook import Quantity, RuleBook

_Weighed = tuple[Quantity, int]


@dataclass(frozen=True, slots=True)
class RunningOrder:
    """A proposed order, its points (fewer is better), and what is left to be said against it.

    ``gap`` is the share by which another choice could be worth more at most; 0: none can.
    """

    items: tuple[Candidate, ...]
    points: int
    reasons: tuple[Reason, ...]
    gap: float = 0.0


def running_order(candidates: Sequence[Candidate], room: Room, rulebook: RuleBook) -> RunningOrder:
    """The items that fit into the time, in the order that varies them most.

    Raises:
        RequestError: the required items do not fit, or too many items to order.
    """
    selection = select_items(candidates, room, rulebook)
    look = _Look(rulebook, room.gap_s)
    ordered = _order(selection.items, look)
    while better := _best_exchange(ordered, candidates, room, look):
        ordered = _order(better, look)
    return _told(ordered, look, selection.gap)


def order_items(items: Sequence[Candidate], rulebook: RuleBook, gap_s: float = 0.0) -> RunningOrder:
    """The order with the fewest points against it, exactly; ties go to the order given.

    Raises:
        RequestError: more items than can be ordered exactly.
    """
    look = _Look(rulebook, gap_s)
    return _told(_order(items, look), look, 0.0)


def points_against(
    ordered: Sequence[Candidate], rulebook: RuleBook, gap_s: float = 0.0
) -> list[tuple[Quantity, int, str]]:
    """Every point for or against an order: the rule, its points, and where."""
    return _against(ordered, _Look(rulebook, gap_s))


def _against(ordered: Sequence[Candidate], look: _Look) -> list[tuple[Quantity, int, str]]:
    found = []
    last = len(ordered) - 1
    for place, item in enumerate(ordered):
        if place:
            before = ordered[place - 1]
            found += [(*each, f"{before.name} to {item.name}") for each in look.pair(before, item)]
        found += [(*each, item.name) for each in look.place(item, place, last)]
    return found


class _Look:
    """How a listener looks at an item in its place and at two neighbours: rules with points."""

    def __init__(self, rulebook: RuleBook, gap_s: float) -> None:
        self.rulebook = rulebook
        # After a longer silence nobody hears whether one tempo leads into the next.
        self.is_joined = gap_s <= rulebook.number("running_order.limit.joined_gap")

    def pair(self, first: Candidate, second: Candidate) -> list[_Weighed]:
        """What two neighbours have in common, and what their join does."""
        before, after = first.last, second.opens
        checks = {
            "same_idiom": bool(before.idiom) and before.idiom == after.idiom,
            "same_strength": first.is_strong == second.is_strong,
        }
        if before.tune is not None and after.tune is not None:
            join = judge_join(before.tune, after.tune, self.rulebook)
            checks |= {
                "same_metre": before.tune.metre == after.tune.metre,
                "same_centre": join.lift is Lift.FLAT,
                "lift": join.lift is Lift.LIFT,
                "hard_join": self.is_joined and join.smoothness is Smoothness.DRILL,
            }
        return [self._weighed(f"neighbour.{name}", 1) for name, holds in checks.items() if holds]

    def place(self, item: Candidate, place: int, last: int) -> list[_Weighed]:
        """How an item suits the opening, the middle or the finish."""
        off_middle = abs(2 * place - last)
        checks = {
            "weak_opening": place == 0 and not item.is_strong,
            "hard_opening": place == 0 and not item.is_easy,
            "unknown_finish": place == last and not item.is_known,
        }
        found = [self._weighed(f"place.{name}", 1) for name, holds in checks.items() if holds]
        if not item.is_known and off_middle > 1:
            found.append(self._weighed("place.unknown_off_middle", off_middle))
        return found

    def _weighed(self, name: str, times: int) -> _Weighed:
        rule = self.rulebook[f"running_order.{name}"]
        return rule, times * round(self.rulebook.number(rule.key))

    def around(self, ordered: Sequence[Candidate], place: int) -> int:
        """The points that hang on the item at a place: its own, and those with its neighbours."""
        found = _sum(self.place(ordered[place], place, len(ordered) - 1))
        if place:
            found += _sum(self.pair(ordered[place - 1], ordered[place]))
        if place + 1 < len(ordered):
            found += _sum(self.pair(ordered[place], ordered[place + 1]))
        return found


def _order(items: Sequence[Candidate], look: _Look) -> tuple[Candidate, ...]:
    most = int(look.rulebook.number("running_order.limit.most_items"))
    if len(items) > most:
        problem = f"{len(items)} items are too many to order"
        raise RequestError("running order", problem, f"give at most {most}")
    if not items:
        return ()
    last = len(items) - 1
    places = [[_sum(look.place(item, place, last)) for item in items] for place in range(last + 1)]
    pairs = [[_sum(look.pair(first, second)) for second in items] for first in items]
    return tuple(items[number] for number in _fewest_points(places, pairs))


def _fewest_points(places: list[list[int]], pairs: list[list[int]]) -> Iterator[int]:
    """The numbers of the items in the best order; among equals the one nearest to 0, 1, 2 ..."""
    count = len(places)
    everything = (1 << count) - 1
    # to_go[played][last]: the fewest points still to come when the items of the bit set are played.
    to_go: dict[int, list[int]] = {everything: [0] * count}
    for played in range(everything - 1, 0, -1):
        place = places[played.bit_count()]
        rest = [
            (item, place[item] + to_go[played | 1 << item][item])
            for item in range(count)
            if not played >> item & 1
        ]
        to_go[played] = [
            min(pair[item] + points for item, points in rest) if played >> last & 1 else 0
            for last, pair in enumerate(pairs)
        ]
    played, pair = 0, [0] * count
    for place in places:
        _, item = min(
            (pair[item] + place[item] + to_go[played | 1 << item][item], item)
            for item in range(count)
            if not played >> item & 1
        )
        yield item
        played, pair = played | 1 << item, pairs[item]


def _best_exchange(
    ordered: tuple[Candidate, ...], candidates: Sequence[Candidate], room: Room, look: _Look
) -> tuple[Candidate, ...] | None:
    """The order with one item exchanged in its place for another worth as much, if that helps."""
    best, fewest = None, 0
    outside = [each for each in candidates if each not in ordered]
    for place, inside in enumerate(ordered):
        if inside.is_required:
            continue
        so_far = look.around(ordered, place)
        for other in outside:
            offer = (*ordered[:place], other, *ordered[place + 1 :])
            if other.worth < inside.worth or not room.holds(offer):
                continue
            change = look.around(offer, place) - so_far
            if change < fewest:
                best, fewest = offer, change
    return best


def _told(ordered: tuple[Candidate, ...], look: _Look, gap: float) -> RunningOrder:
    against = _against(ordered, look)
    reasons = tuple(rule.reason(f"{where}: {rule.why}") for rule, _, where in against)
    return RunningOrder(ordered, sum(points for _, points, _ in against), reasons, gap)


def _sum(weighed: Sequence[_Weighed]) -> int:
    return sum(points for _, points in weighed)
