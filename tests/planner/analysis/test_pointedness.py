from itertools import groupby

import pytest

from planner.analysis.analyse import analyse
from planner.analysis.pointedness import npvi
from planner.music.tempo import Tempo
from planner.rules.load import load_rulebook
from tests.builders import tune

PAIRS = "C | A>B c>d e<f d>e | A<B c>d e2 A2 |]"


def pointedness_as(idiom):
    built = tune(PAIRS)
    return npvi(analyse(built, idiom, Tempo(112), load_rulebook()).written.length_ms)


def test_even_notes_have_no_contrast():
    assert npvi([250.0] * 8) == 0.0


def test_the_index_does_not_depend_on_the_unit():
    lengths = [3, 1, 2, 2, 1, 3]
    assert npvi([100 * length for length in lengths]) == pytest.approx(npvi(lengths))


def test_fewer_than_two_notes_have_no_contrast():
    assert npvi([]) == npvi([300.0]) == 0.0


def test_a_length_of_nothing_is_refused():
    with pytest.raises(ValueError, match="longer than nothing"):
        npvi([100.0, 0.0])


def test_the_same_notes_are_more_pointed_as_a_strathspey_than_as_a_march():
    assert pointedness_as("strathspey") > pointedness_as("march")


def test_a_strathspey_stays_below_the_contrast_of_four_to_one():
    # 200 (r - 1) / (r + 1) for r = 4: every neighbour a full dotted pair.
    lengths = {length for length, _ in groupby([4, 1] * 4)}
    assert pointedness_as("strathspey") < npvi(sorted(lengths)) == 120.0
