"""Items that fit, in the order that varies them most: both against trying everything."""

from dataclasses import replace
from itertools import combinations, pairwise, permutations
from random import Random
from time import perf_counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.errors import RequestError
from planner.event.running_order import (
    Candidate,
    order_items,
    points_against,
    running_order,
    select_items,
)
from planner.music.tempo import Metre
from planner.rules.load import load_rulebook

BOOK = load_rulebook()

candidates = st.builds(
    Candidate,
    key=st.just(""),
    name=st.just("Item"),
    seconds=st.integers(30, 400),
    worth=st.integers(0, 5),
    tunes=st.frozensets(st.sampled_from("abcdef"), max_size=2),
    metre=st.sampled_from([None, Metre(2, 4), Metre(6, 8), Metre(4, 4)]),
    idiom=st.sampled_from(["", "march", "jig", "strathspey"]),
    tonal_centre=st.sampled_from(["", "A", "D", "B minor"]),
    is_easy=st.booleans(),
    is_strong=st.booleans(),
    is_known=st.booleans(),
)


def many(least: int, most: int):
    lists = st.lists(candidates, min_size=least, max_size=most)
    return lists.map(lambda found: [replace(each, key=str(n)) for n, each in enumerate(found)])


def points(ordered) -> int:
    return sum(each for _, each, _ in points_against(ordered, BOOK))


def fits(chosen, room: int, gap: int) -> bool:
    tunes = [tune for each in chosen for tune in each.tunes]
    length = sum(each.seconds for each in chosen) + gap * max(0, len(chosen) - 1)
    return length <= room and len(tunes) == len(set(tunes))


@settings(max_examples=30, deadline=None)
@given(many(1, 9), st.integers(0, 2000), st.integers(0, 60))
def test_no_other_choice_that_fits_is_worth_more(items, room, gap):
    chosen = select_items(items, room, gap)
    every = (c for size in range(len(items) + 1) for c in combinations(items, size))
    best = max(sum(each.worth for each in c) for c in every if fits(c, room, gap))
    assert fits(chosen, room, gap)
    assert sum(each.worth for each in chosen) == best


@settings(max_examples=30, deadline=None)
@given(many(1, 6))
def test_no_other_order_has_fewer_points(items):
    ordered = order_items(items, BOOK)
    assert ordered.points == points(ordered.items)
    assert ordered.points == min(points(other) for other in permutations(items))


def varied(count: int, seed: int) -> list[Candidate]:
    pick = Random(seed)
    metres = [None, Metre(2, 4), Metre(6, 8), Metre(4, 4)]
    return [
        Candidate(
            str(place),
            f"Item {place}",
            60,
            metre=pick.choice(metres),
            idiom=pick.choice(["march", "jig", "strathspey"]),
            tonal_centre=pick.choice(["A", "D", "B minor"]),
            is_easy=pick.random() < 0.5,
            is_strong=pick.random() < 0.5,
            is_known=pick.random() < 0.5,
        )
        for place in range(count)
    ]


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_no_other_order_of_seven_varied_items_has_fewer_points(seed):
    items = varied(7, seed)
    assert order_items(items, BOOK).points == min(map(points, permutations(items)))


def test_no_other_order_of_nine_varied_items_has_fewer_points():
    items = varied(9, 4)
    place = [[points_at(items, item, where) for item in items] for where in range(9)]
    pair = [[points_between(first, second) for second in items] for first in items]
    every = (
        sum(row[item] for row, item in zip(place, order, strict=True))
        + sum(pair[first][second] for first, second in pairwise(order))
        for order in permutations(range(9))
    )
    assert order_items(items, BOOK).points == min(every)


def points_at(items: list[Candidate], item: Candidate, where: int) -> int:
    others = [each for each in items if each != item]
    found = points_against([*others[:where], item, *others[where:]], BOOK)
    return sum(each for rule, each, at in found if ".place." in rule.key and at == item.name)


def points_between(first: Candidate, second: Candidate) -> int:
    found = points_against([first, second], BOOK)
    return sum(each for rule, each, _ in found if ".neighbour." in rule.key)


def test_thirteen_items_are_ordered_while_one_waits():
    start = perf_counter()
    assert len(order_items(varied(13, 5), BOOK).items) == 13
    assert perf_counter() - start < 10


@settings(max_examples=30, deadline=None)
@given(many(0, 7))
def test_an_order_plays_every_item_once_and_twice_gives_the_same(items):
    ordered = order_items(items, BOOK)
    assert sorted(each.key for each in ordered.items) == [each.key for each in items]
    assert order_items(items, BOOK) == ordered


def test_among_equals_the_order_given_stays():
    drums = [Candidate(str(n), f"Drums {n}", 60) for n in range(5)]
    assert order_items(drums, BOOK).items == tuple(drums)


def test_a_concert_opens_strong_and_ends_with_what_is_known():
    weak = Candidate("a", "Air", 200, is_strong=False)
    new = Candidate("b", "New suite", 200, is_known=False)
    strong = Candidate("c", "March", 200)
    ordered = order_items([new, weak, strong], BOOK).items
    assert ordered[0] == strong
    assert ordered[-1].is_known


def test_the_lift_from_a_to_d_is_taken():
    on_a = Candidate("a", "On A", 60, tonal_centre="A")
    on_d = Candidate("d", "On D", 60, tonal_centre="D")
    assert order_items([on_d, on_a], BOOK).items == (on_a, on_d)


def test_what_is_left_against_an_order_is_said_with_its_rule():
    marches = [Candidate(str(n), f"March {n}", 60, idiom="march") for n in (1, 2)]
    texts = [reason.text for reason in order_items(marches, BOOK).reasons]
    assert "March 1 to March 2: two items of the same idiom stand side by side" in texts


def test_a_required_item_is_in_and_no_tune_comes_twice():
    first = Candidate("a", "First", 100, 5, frozenset({"gate"}))
    second = Candidate("b", "Second", 100, 1, frozenset({"gate"}), is_required=True)
    assert select_items([first, second], 1000) == (second,)


def test_the_gap_after_the_last_item_costs_nothing():
    two = [Candidate("a", "A", 100), Candidate("b", "B", 100)]
    assert len(select_items(two, 210, 10)) == 2
    assert len(select_items(two, 209, 10)) == 1


def test_choosing_and_ordering_go_together():
    items = [Candidate(str(n), f"Item {n}", 100, worth=n) for n in range(4)]
    assert {each.key for each in running_order(items, 200, BOOK).items} == {"2", "3"}


def test_required_items_that_do_not_fit_are_refused():
    long = Candidate("a", "Long", 500, is_required=True)
    with pytest.raises(RequestError, match="required items do not fit into 60 s, or share a tune"):
        select_items([long], 60)


def test_too_many_items_to_order_are_refused():
    items = [Candidate(str(n), "Item", 10) for n in range(14)]
    with pytest.raises(RequestError, match="14 items are too many to order; give at most 13"):
        order_items(items, BOOK)


def test_a_negative_time_is_refused():
    with pytest.raises(RequestError, match="time: -1 is below zero"):
        select_items([], -1)


def test_nothing_to_play_is_an_empty_order():
    assert running_order([], 600, BOOK).items == ()
