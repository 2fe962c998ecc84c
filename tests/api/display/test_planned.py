from dataclasses import replace

import pytest

from api.display.planned import setting_words, strictness_word
from planner.event.event import Drums, Occasion, Setting, Sort
from tests.api.display.events import CONTEST, march, planned_entry

SOLO = Setting(Occasion.EXHIBITION, Sort.SOLO, Drums.NONE)
DANCE_ALONE = Setting(Occasion.DANCE, Sort.FLOOR, Drums.NONE)


@pytest.mark.parametrize(
    ("setting", "words"),
    [
        (Setting(Occasion.PARADE, Sort.OWN_BAND), "parade"),
        (Setting(Occasion.PARADE, Sort.MASSED), "parade, massed bands"),
        (DANCE_ALONE, "dance accompaniment"),
        (SOLO, "exhibition, solo piper"),
    ],
)
def test_the_sort_is_said_where_it_says_more_than_the_occasion(setting, words: str) -> None:
    assert setting_words(setting) == words


def test_the_freest_tune_gives_the_set_its_word() -> None:
    strict = planned_entry(march()).plan
    agreed = planned_entry(march(), CONTEST).plan
    assert strictness_word((strict,)) == "strict"
    assert strictness_word((strict, agreed)) == "agreed"


def test_without_drums_the_word_comes_from_the_licence() -> None:
    assert strictness_word((planned_entry(march(), SOLO).plan,)) == "free"
    assert strictness_word((planned_entry(march(), DANCE_ALONE).plan,)) == "strict"


def test_a_set_knows_its_plans_in_order() -> None:
    entry = planned_entry(march())
    assert replace(entry).tune is entry.plan.tune
