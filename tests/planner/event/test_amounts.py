"""Numbers that can be reckoned with, exactly, and how they are read."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.errors import RequestError
from planner.event.amounts import minutes_and_seconds, not_negative, plain, positive


def test_a_decimal_is_taken_as_it_is_written():
    assert positive("pace", 0.762, "metres") == Fraction(762, 1000)
    assert positive("tempo", 114.3, "bpm") == Fraction(1143, 10)


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_a_number_is_taken_as_it_is_or_refused(value):
    if value < 0:
        with pytest.raises(RequestError, match="is below zero"):
            not_negative("gap", value, "seconds")
    else:
        assert float(not_negative("gap", value, "seconds")) == value


@pytest.mark.parametrize("value", [0, -1, float("nan"), float("inf"), -float("inf")])
def test_what_is_not_above_zero_is_refused(value):
    with pytest.raises(RequestError, match=r"^rate: .*; give paces a minute.$"):
        positive("rate", value, "paces a minute")


@pytest.mark.parametrize(
    ("value", "text"),
    [(86.0, "86"), (0.762, "0.762"), (100, "100"), (-6.0, "-6"), (2.91375, "2.914"), (0, "0")],
)
def test_a_number_is_read_without_needless_noughts(value, text):
    assert plain(value) == text


@pytest.mark.parametrize(
    ("seconds", "text"), [(264.8, "4:25"), (59.6, "1:00"), (0, "0:00"), (3600, "60:00")]
)
def test_a_length_is_read_to_the_nearest_second(seconds, text):
    assert minutes_and_seconds(seconds) == text
