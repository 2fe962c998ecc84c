"""The matrix of occasions, as the trade keeps it, and what takes a level off."""

from datetime import date
from itertools import chain, combinations, product

import pytest

from planner.event.event import (
    SORTS_BY_OCCASION,
    Circumstance,
    Control,
    Drums,
    Occasion,
    Setting,
    Sort,
)
from planner.licence.grant import grant_licence, lift
from planner.licence.licence import Level
from planner.rules.load import load_rulebook

BOOK = load_rulebook()
IDIOMS = tuple(name.replace("_", " ") for name in BOOK.names("idioms"))
ROUND = ("jig", "hornpipe", "round reel")
LAYERS = ("within_beat", "across_bar", "across_phrase", "between_tunes")

# occasion, sort, drums, idiom: within the beat, across the bar, across the phrase, between tunes
MATRIX = [
    ("parade", "own-band", "full", "march", "slight none none slight"),
    ("parade", "own-band", "none", "march", "slight none none slight"),
    ("parade", "massed", "full", "march", "none none none none"),
    ("parade", "long-column", "full", "march", "none none none none"),
    ("dance", "floor", "full", "strathspey", "slight none none none"),
    ("dance", "floor", "bass", "strathspey", "slight none none none"),
    ("dance", "floor", "none", "strathspey", "slight slight none none"),
    ("competition", "march-strathspey-reel", "full", "march", "full agreed none agreed"),
    ("competition", "march-strathspey-reel", "full", "strathspey", "full agreed none agreed"),
    ("competition", "march-strathspey-reel", "full", "slow air", "full agreed none agreed"),
    ("competition", "medley", "full", "jig", "full agreed none agreed"),
    ("competition", "medley", "full", "slow air", "full agreed agreed agreed"),
    ("exhibition", "standing", "full", "march", "full full full full"),
    ("exhibition", "solo", "none", "slow air", "full full full full"),
]


def licence(occasion="parade", sort=None, drums="full", idiom="march", circumstances=(), rung=4):
    where = Occasion(occasion)
    chosen = Sort(sort) if sort else SORTS_BY_OCCASION[where][0]
    setting = Setting(where, chosen, Drums(drums), Control(rung), tuple(circumstances))
    return grant_licence(setting, idiom, BOOK)


def levels(granted):
    return tuple(getattr(granted.layers, layer) for layer in LAYERS)


def freedom(granted):
    """Everything a licence opens, as numbers that may only fall where it gets stricter."""
    per_part = granted.marks_per_part
    ranks = [level.rank for level in levels(granted)]
    return (*ranks, granted.marks_per_line, per_part or 0, granted.may_hold, granted.carries_pulse)


def is_no_freer(strict, free):
    return all(less <= more for less, more in zip(freedom(strict), freedom(free), strict=True))


@pytest.mark.parametrize(("occasion", "sort", "drums", "idiom", "expected"), MATRIX)
def test_the_occasion_opens_these_layers(occasion, sort, drums, idiom, expected):
    granted = licence(occasion, sort, drums, idiom)
    assert levels(granted) == tuple(Level(word) for word in expected.split())


@pytest.mark.parametrize("circumstance", Circumstance)
def test_every_circumstance_takes_one_level_off_but_not_between_tunes(circumstance):
    stepped = licence("competition", circumstances=[circumstance])
    assert levels(stepped) == (Level.AGREED, Level.SLIGHT, Level.NONE, Level.AGREED)


def test_circumstances_add_up_and_stop_at_none():
    learners, practices, footing = (
        Circumstance.LEARNERS, Circumstance.FEW_PRACTICES, Circumstance.POOR_FOOTING,
    )  # fmt: skip
    two = licence("exhibition", circumstances=[learners, practices])
    assert levels(two)[:3] == (Level.SLIGHT,) * 3
    four = licence("exhibition", circumstances=[learners, practices, footing, *Circumstance][:4])
    assert levels(four)[:3] == (Level.NONE,) * 3


@pytest.mark.parametrize("idiom", IDIOMS)
@pytest.mark.parametrize("occasion", Occasion)
def test_more_circumstances_never_give_more(occasion, idiom):
    subsets = chain.from_iterable(combinations(Circumstance, size) for size in range(4))
    for held in subsets:
        free = licence(occasion, idiom=idiom, circumstances=held)
        for another in Circumstance:
            if another not in held:
                strict = licence(occasion, idiom=idiom, circumstances=(*held, another))
                assert is_no_freer(strict, free), (held, another)


STRICTER_FIRST = [
    ("parade", "massed", "full"),
    ("parade", "own-band", "full"),
    ("competition", "march-strathspey-reel", "full"),
    ("competition", "medley", "full"),
    ("exhibition", "standing", "full"),
]


@pytest.mark.parametrize("idiom", IDIOMS)
def test_a_stricter_occasion_never_gives_more(idiom):
    granted = [licence(*row, idiom=idiom) for row in STRICTER_FIRST]
    for strict, free in combinations(granted, 2):
        assert is_no_freer(strict, free)


@pytest.mark.parametrize("idiom", IDIOMS)
def test_a_dance_with_drums_never_gives_more_than_one_without(idiom):
    alone = licence("dance", drums="none", idiom=idiom)
    assert is_no_freer(licence("dance", idiom=idiom), alone)


@pytest.mark.parametrize(("occasion", "idiom"), list(product(Occasion, IDIOMS)))
def test_a_lower_rung_never_gives_more_and_leaves_the_layers(occasion, idiom):
    granted = [licence(occasion, idiom=idiom, rung=rung) for rung in (1, 2, 3, 4)]
    assert all(is_no_freer(low, high) for low, high in combinations(granted, 2))
    assert len({levels(each) for each in granted}) == 1
    assert [each.carries_pulse for each in granted] == [False, False, False, True]


@pytest.mark.parametrize(
    ("occasion", "idiom", "per_line", "per_part"),
    [
        ("parade", "march", 1, None),
        ("competition", "strathspey", 2, None),
        ("exhibition", "slow air", 2, None),
        ("parade", "jig", 1, 1),
        ("competition", "round reel", 1, 1),
        ("exhibition", "hornpipe", 2, 2),
    ],
)
def test_marks_are_few(occasion, idiom, per_line, per_part):
    granted = licence(occasion, idiom=idiom)
    assert (granted.marks_per_line, granted.marks_per_part) == (per_line, per_part)


@pytest.mark.parametrize("idiom", IDIOMS)
def test_massed_bands_have_no_marks_at_all(idiom):
    granted = licence("parade", "massed", idiom=idiom)
    assert granted.marks_per_line == 0
    assert granted.marks_per_part in (0, None)


@pytest.mark.parametrize(("idiom", "occasion"), list(product(IDIOMS, Occasion)))
def test_a_round_tune_is_held_only_at_an_exhibition(idiom, occasion):
    granted = licence(occasion, idiom=idiom)
    assert granted.is_round is (idiom in ROUND)
    assert granted.may_hold is (idiom not in ROUND or occasion is Occasion.EXHIBITION)


def test_a_strathspey_is_pushed_furthest():
    for occasion in (Occasion.COMPETITION, Occasion.EXHIBITION):
        sizes = {idiom: licence(occasion, idiom=idiom).size_factor for idiom in IDIOMS}
        assert max(sizes, key=lambda idiom: sizes[idiom]) == "strathspey"


def test_every_layer_and_every_step_has_its_reason():
    granted = licence("competition", circumstances=[Circumstance.LEARNERS])
    rules = [reason.rule for reason in granted.reasons]
    place = "occasions.competition.march_strathspey_reel"
    assert rules[:4] == [f"{place}.{layer}" for layer in LAYERS]
    assert "occasions.circumstances.learners" in rules
    assert all(reason.text and reason.source for reason in granted.reasons)


@pytest.mark.parametrize(
    ("granted", "rule"),
    [
        (licence(), "slight"),
        (licence("competition"), "free"),
        (licence(idiom="jig"), "round"),
        (licence("exhibition", idiom="jig"), "round_exhibition"),
        (lift(licence(), "the pipe-major", BOOK, within_beat=Level.FULL), "free"),
    ],
)
def test_so_many_marks_have_their_one_reason(granted, rule):
    budgets = [each.rule for each in granted.reasons if "budget" in each.rule]
    assert budgets == [f"thresholds.budget.{rule}"]
    per_part = granted.marks_per_part if granted.is_round else granted.marks_per_line
    assert per_part == BOOK.number(budgets[0])


def test_where_no_mark_is_left_nothing_counts_them():
    assert not [each for each in licence("parade", "massed").reasons if "budget" in each.rule]


@pytest.mark.parametrize(("occasion", "idiom"), list(product(Occasion, IDIOMS)))
def test_every_reason_is_a_line_of_the_rule_book(occasion, idiom):
    for reason in licence(occasion, idiom=idiom).reasons:
        assert str(BOOK[reason.rule].value) == reason.value


def test_only_a_named_person_lifts_a_ceiling():
    with pytest.raises(ValueError, match="only a named person"):
        lift(licence(), "  ", BOOK, across_bar=Level.FULL)


def test_a_lift_opens_the_layer_and_says_who_took_it_on_themselves():
    lifted = lift(licence(), "the pipe-major", BOOK, across_bar=Level.AGREED)
    assert levels(lifted)[:3] == (Level.SLIGHT, Level.AGREED, Level.NONE)
    assert lifted.lifted_by == "the pipe-major"
    assert lifted.reasons[-1].text == "lifted by the pipe-major: across bar agreed"


def test_a_lift_says_the_day_where_it_is_known():
    day = date(2031, 6, 14)
    lifted = lift(licence(), "the pipe-major", BOOK, day, across_bar=Level.AGREED)
    assert lifted.lifted_on == day
    assert lifted.reasons[-1].text == "lifted by the pipe-major on 14 June 2031: across bar agreed"


def test_a_lift_within_the_beat_brings_the_budget_of_its_new_level():
    assert licence("parade", "massed").marks_per_line == 0
    massed = lift(licence("parade", "massed"), "the pipe-major", BOOK, within_beat=Level.SLIGHT)
    assert massed.marks_per_line == 1
    own = lift(licence(), "the pipe-major", BOOK, within_beat=Level.FULL)
    assert own.marks_per_line == 2


def test_the_drums_follow_only_where_the_layer_across_the_bar_is_free():
    assert not licence("parade").drums_follow
    assert licence("competition").drums_follow
    assert not licence("competition", circumstances=[Circumstance.LEARNERS]).drums_follow
    assert not licence("exhibition", "solo", "none").drums_follow
