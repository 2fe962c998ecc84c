"""The laws of timing and of choice, over tunes by chance and over the open collections."""

import pytest
from hypothesis import given, settings

from tests.properties import laws_of_choice, laws_of_timing
from tests.properties.graced_tunes import graced_tunes
from tests.properties.open_tunes import open_tunes
from tests.properties.plans import EVERYWHERE, words

FIT, SAMPLED = 102, 8
LAWS = {**laws_of_timing.LAWS, **laws_of_choice.LAWS}
EVERY_LAW = [
    pytest.param(law, where, id=f"{law.__name__}-{words(where)}")
    for where in EVERYWHERE
    for law, places in LAWS.items()
    if where in places
]


@pytest.mark.parametrize(("law", "where"), EVERY_LAW)
@settings(derandomize=True, max_examples=10)
@given(tune=graced_tunes())
def test_for_tunes_by_chance(law, where, tune):
    law(tune, where)


@pytest.mark.parametrize(("law", "where"), EVERY_LAW)
def test_for_a_sample_of_the_open_collections(law, where):
    for tune in open_tunes(SAMPLED):
        law(tune, where)


@pytest.mark.slow
@pytest.mark.parametrize(("law", "where"), EVERY_LAW)
def test_for_every_open_tune(law, where):
    for tune in open_tunes():
        law(tune, where)


def test_more_than_eighty_open_tunes_fit_the_nine_notes():
    """A count of our own beforehand, in keys of two sharps only, found 82; other keys fit too."""
    assert len(open_tunes()) == 2 * FIT
