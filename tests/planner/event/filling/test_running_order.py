"""Items that fit, in the order that varies them most: both against trying everything."""

from dataclasses import replace
from itertools import combinations, pairwise, permutations
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.errors import RequestError
from planner.event.filling.candidates import Candidate, End
from planner.event.filling.running_order import order_items, points_against, running_order
from planner.event.filling.selection import Room, select_items
from planner.event.joins import Neighbour
from planner.music.scale import CHANTER
from planner.music.tempo import Metre
from planner.rules.load import load_rulebook

BOOK = load_rulebook()

neighbours = st.builds(
    Neighbour,
    title=st.just(""),
    metre=st.sampled_from([Metre(2, 4), Metre(6, 8), Metre(4, 4)]),
    tempo_bpm=st.sampled_from([60, 84, 90, 120]),
    tonal_centre=st.sampled_from(["", "A", "D", "B minor"]),
    first_note=st.sampled_from([None, *CHANTER]),
    last_note=st.sampled_from([None, *CHANTER]),
)
ends = st.builds(End, st.none() | neighbours, st.sampled_from(["", "march", "jig", "strathspey"]))
candidates = st.builds(
    Candidate,
    key=st.just(""),
    name=st.just("Item"),
    seconds=st.integers(30, 400),
    worth=st.integers(0, 5),
    tunes=st.frozensets(st.sampled_from("abcdef"), max_size=2),
    opens=ends,
    closes=st.none() | ends,
    is_easy=st.booleans(),
    is_strong=st.booleans(),
    is_known=st.booleans(),
)


def many(least: int, most: int):
    lists = st.lists(candidates, min_size=least, max_size=most)
    return lists.map(lambda found: [replace(each, key=str(n)) for n, each in enumerate(found)])


def points(ordered, gap: float = 0) -> int:
    return sum(each for _, each, _ in points_against(ordered, BOOK, gap))


def fits(chosen, room: int, gap: int) -> bool:
    tunes = [tune for each in chosen for tune in each.tunes]
    length = sum(each.seconds for each in chosen) + gap * max(0, len(chosen) - 1)
    return length <= room and len(tunes) == len(set(tunes))


def end(metre: Metre | None = None, idiom: str = "", centre: str = "") -> End:
    return End(Neighbour("", metre or Metre(2, 4), 84, centre), idiom)


@settings(max_examples=300, deadline=None)
@given(many(1, 9), st.integers(0, 2000), st.integers(0, 60))
def test_no_other_choice_that_fits_is_worth_more(items, room, gap):
    selection = select_items(items, Room(room, gap), BOOK)
    chosen = selection.items
    assert selection.gap == 0
    every = (c for size in range(len(items) + 1) for c in combinations(items, size))
    best = max(sum(each.worth for each in c) for c in every if fits(c, room, gap))
    assert fits(chosen, room, gap)
    assert sum(each.worth for each in chosen) == best


@settings(max_examples=300, deadline=None)
@given(many(1, 5), st.sampled_from([0, 30]))
def test_no_other_order_has_fewer_points(items, gap):
    ordered = order_items(items, BOOK, gap)
    assert ordered.points == points(ordered.items, gap)
    assert ordered.points == min(points(other, gap) for other in permutations(items))


@settings(max_examples=300, deadline=None)
@given(many(1, 9), st.integers(200, 1500), st.sampled_from([0, 30]))
def test_no_item_can_be_exchanged_for_a_better_neighbour(items, seconds, gap):
    ordered = running_order(items, Room(seconds, gap), BOOK)
    chosen = ordered.items
    assert sum(each.worth for each in chosen) == sum(
        each.worth for each in select_items(items, Room(seconds, gap), BOOK).items
    )
    assert fits(chosen, seconds, gap)
    for place, inside in enumerate(chosen):
        for other in items:
            offer = (*chosen[:place], other, *chosen[place + 1 :])
            if other not in chosen and other.worth == inside.worth and fits(offer, seconds, gap):
                assert points(offer, gap) >= ordered.points


def varied(count: int, seed: int) -> list[Candidate]:
    pick = Random(seed)
    metres = [Metre(3, 4), Metre(2, 4), Metre(6, 8), Metre(4, 4)]
    return [
        Candidate(
            str(place),
            f"Item {place}",
            60,
            opens=end(
                pick.choice(metres),
                pick.choice(["march", "jig", "strathspey"]),
                pick.choice(["A", "D", "B minor"]),
            ),
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


def test_as_many_items_as_may_be_are_ordered():
    items = varied(14, 5)
    ordered = order_items(items, BOOK)
    assert sorted(ordered.items, key=items.index) == items
    assert ordered.points <= points(items)


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
    on_a = Candidate("a", "On A", 60, opens=end(Metre(2, 4), "march", "A"))
    on_d = Candidate("d", "On D", 60, opens=end(Metre(6, 8), "jig", "D"))
    assert order_items([on_d, on_a], BOOK).items == (on_a, on_d)


def test_what_is_left_against_an_order_is_said_with_its_rule():
    marches = [Candidate(str(n), f"March {n}", 60, opens=end(None, "march")) for n in (1, 2)]
    texts = [reason.text for reason in order_items(marches, BOOK).reasons]
    assert "March 1 to March 2: two items of the same idiom stand side by side" in texts


def test_a_required_item_is_in_and_no_tune_comes_twice():
    first = Candidate("a", "First", 100, 5, frozenset({"gate"}))
    second = Candidate("b", "Second", 100, 1, frozenset({"gate"}), is_required=True)
    assert select_items([first, second], Room(1000), BOOK).items == (second,)


def test_the_gap_after_the_last_item_costs_nothing():
    two = [Candidate("a", "A", 100), Candidate("b", "B", 100)]
    assert len(select_items(two, Room(210, 10), BOOK).items) == 2
    assert len(select_items(two, Room(209, 10), BOOK).items) == 1


def test_with_hardly_a_gap_a_join_is_listened_to():
    march = Candidate("a", "March", 60, opens=end(Metre(2, 4), "march"))
    jig = Candidate("b", "Jig", 60, opens=End(Neighbour("", Metre(6, 8), 60), "jig"))
    rules = {
        gap: [rule.key for rule, _, _ in points_against([march, jig], BOOK, gap)] for gap in (0, 30)
    }
    assert "running_order.neighbour.hard_join" in rules[0]
    assert "running_order.neighbour.hard_join" not in rules[30]


def test_choosing_and_ordering_go_together():
    items = [Candidate(str(n), f"Item {n}", 100, worth=n) for n in range(4)]
    assert {each.key for each in running_order(items, Room(200), BOOK).items} == {"2", "3"}


def test_required_items_that_do_not_fit_are_refused():
    long = Candidate("a", "Long", 500, is_required=True)
    with pytest.raises(RequestError, match="required items do not fit into 60 s, or share a tune"):
        select_items([long], Room(60), BOOK)


def test_too_many_items_to_order_are_refused():
    items = [Candidate(str(n), "Item", 10) for n in range(15)]
    with pytest.raises(RequestError, match="15 items are too many to order; give at most 14"):
        order_items(items, BOOK)


def test_a_negative_time_is_refused():
    with pytest.raises(RequestError, match="time: -1 is below zero"):
        select_items([], Room(-1), BOOK)


def test_nothing_to_play_is_an_empty_order():
    assert running_order([], Room(600), BOOK).items == ()


@pytest.mark.parametrize("seed", range(5))
def test_twenty_minutes_out_of_sixty_sets_are_filled_close_to_the_best_there_is(seed):
    pick = Random(seed)
    tunes = [str(number) for number in range(400)]
    items = [
        Candidate(
            str(number),
            f"Set {number}",
            seconds=pick.randint(120, 420),
            worth=pick.randint(5, 40),
            tunes=frozenset(pick.sample(tunes, pick.randint(2, 5))),
        )
        for number in range(60)
    ]
    ordered = running_order(items, Room(1200, 30), BOOK)
    assert fits(ordered.items, 1200, 30)
    assert ordered.gap <= 0.05
