"""Tune types, parts and sets to submit, against rules as they were printed.

Sources beside each rule set: planner/rules/data/contests; the same values stand with their source
in tests/published/contest.toml.
"""

import pytest

from planner.event.contest.contest import CONFIRM
from planner.event.contest.rulesets import find_ruleset
from planner.event.event import Entry, Set
from planner.event.programme import check_programme, check_submitted
from planner.music.tempo import Metre
from planner.music.tune import Tune, outline
from planner.rules.load import load_rulebook

BOOK = load_rulebook()
METRES = {"march": Metre(2, 4), "strathspey": Metre(4, 4), "pointed reel": Metre(2, 2)}


def tune(title: str, idiom: str | None, parts: int, metre: Metre | None = None) -> Tune:
    shape = tuple((8, 2) for _ in range(parts))
    return outline(title, metre or METRES.get(idiom or "", Metre(2, 4)), shape, idiom=idiom)


def said(ruleset: str, *tunes: Tune, **entry) -> list[str]:
    a_set = Set("s", 1, "The set", tuple(Entry(each.title, **entry) for each in tunes))
    found = check_programme(
        find_ruleset(ruleset, BOOK), a_set, {each.title: each for each in tunes}
    )
    assert all(finding.text.endswith(f". {CONFIRM}") for finding in found)
    return [finding.text.removesuffix(f". {CONFIRM}") for finding in found]


MARCH = tune("The Gate", "march", 4)
STRATHSPEY = tune("The Weir", "strathspey", 4)
REEL = tune("The Salt Cart", "pointed reel", 4)


def test_four_parts_of_each_type_are_as_asked():
    assert said("rspba-2026-grade-4a-march-strathspey-reel", MARCH, STRATHSPEY, REEL) == []


def test_two_tunes_of_two_parts_are_as_good_as_one_of_four():
    short = [tune("One", "round reel", 2), tune("Two", "pointed reel", 2)]
    assert said("rspba-2026-grade-4a-march-strathspey-reel", MARCH, STRATHSPEY, *short) == []


def test_a_wrong_order_or_type_says_what_is_asked_and_what_is_played():
    (order,) = said("rspba-2026-grade-3-march-strathspey-reel", MARCH, REEL, STRATHSPEY)
    assert order == (
        "march, strathspey and reel are asked, in this order, and the set plays march, reel and "
        "strathspey"
    )
    jigs = said("wuspba-2018-grade-5-quick-march-medley", MARCH, tune("The Otter", "jig", 2))
    assert jigs == ["only the march is asked, and the set plays march and jig"]


def test_too_few_parts_are_named_by_type():
    short = tune("Short", "strathspey", 2)
    (found,) = said("wuspba-2019-grade-4-march-strathspey-reel", MARCH, short, REEL)
    assert found == "4-4-4 parts are asked, and the set plays 4-2-4"


@pytest.mark.parametrize(
    ("parts", "is_right"), [((4, 4, 4), True), ((4, 2, 2), True), ((4, 2, 4), False)]
)
def test_either_of_two_choices_of_parts_is_right(parts, is_right):
    types = ("march", "strathspey", "pointed reel")
    tunes = [tune(each, each, count) for each, count in zip(types, parts, strict=True)]
    found = said("pipe-bands-australia-2019-grade-4-march-strathspey-reel", *tunes)
    assert found == [] if is_right else "4-4-4 or 4-2-2 parts are asked" in found[0]


def test_parts_that_are_left_out_do_not_count():
    (found,) = said("wuspba-2019-grade-5-marches", MARCH, tune("Two", "march", 4), parts=(1, 2))
    assert found == "8 parts in all asked, and the set has 4"


def test_every_tune_has_at_least_four_parts_where_that_is_asked():
    short = tune("Short", "strathspey", 2)
    (found,) = said("rspba-2026-grade-3-march-strathspey-reel", MARCH, short, REEL)
    assert found == "Short has 2 parts, at least 4 are asked"


def test_four_marches_of_two_parts_in_two_four():
    marches = [tune(f"March {at}", "march", 2) for at in range(4)]
    assert said("rspba-2026-grade-4b-marches", *marches) == []
    six_eight = tune("In six", "march", 2, Metre(6, 8))
    assert said("rspba-2026-grade-4b-marches", *marches[:3], six_eight) == [
        "In six is in 6/8, marches in 2/4 are asked"
    ]
    assert said("rspba-2026-grade-4b-marches", *marches[:3]) == ["4 tunes asked, and the set has 3"]
    assert "at most 2 are asked" in said("rspba-2026-grade-4b-marches", *marches[:3], MARCH)[0]


def test_a_tune_of_no_type_is_asked_for_its_idiom():
    (found,) = said("rspba-2026-grade-3-march-strathspey-reel", MARCH, tune("Odd", None, 4), REEL)
    assert found == "nobody has said which type of tune Odd is: set its idiom"


def test_rules_that_ask_for_nothing_find_nothing():
    assert said("rspba-2026-grade-2-medley", tune("Odd", None, 1)) == []


def named(name: str, *tunes: Tune) -> Set:
    return Set(name, 1, name, tuple(Entry(each.title) for each in tunes))


def test_two_sets_are_submitted_where_two_are_asked():
    rules = find_ruleset("rspba-2026-grade-1-medley", BOOK)
    one, two = named("Medley 1"), named("Medley 2")
    assert list(check_submitted([(rules, one), (rules, two)], {})) == []
    (found,) = check_submitted([(rules, one)], {})
    assert found.text == (
        f"1 set entered (Medley 1) where RSPBA 2026, grade 1, medley asks for 2. {CONFIRM}"
    )
    other = find_ruleset("rspba-2026-grade-2-medley", BOOK)
    entered = [(rules, named("A")), (other, named("B")), (rules, named("C")), (rules, named("D"))]
    (three,) = check_submitted(entered, {})
    assert three.text.startswith("3 sets entered (A, C, D)")


@pytest.mark.parametrize(
    ("first", "second", "is_right"),
    [(4, 4, True), (2, 6, True), (6, 2, True), (6, 6, False), (2, 2, False), (4, 6, True)],
)
def test_one_set_is_of_four_parts_at_most_and_the_other_of_four_at_least(first, second, is_right):
    rules = find_ruleset("rspba-2026-grade-1-march-strathspey-reel", BOOK)
    tunes = {f"March {parts}": tune(f"March {parts}", "march", parts) for parts in (first, second)}
    sets = [named(f"Set {at}", tunes[f"March {parts}"]) for at, parts in enumerate((first, second))]
    found = list(check_submitted([(rules, each) for each in sets], tunes))
    assert [each.code for each in found] == ([] if is_right else ["not_as_asked"])
