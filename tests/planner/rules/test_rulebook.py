from dataclasses import replace

import pytest

from planner.rules.load import load_rulebook
from planner.rules.rulebook import Status

BOOK = load_rulebook()
LENGTH = "thresholds.gracenote.length"


def test_a_number_is_asked_for_by_its_key():
    assert BOOK.number(LENGTH) == 35.0
    assert BOOK.word("occasions.parade.own_band.within_beat") == "slight"


def test_a_word_is_no_number_and_a_number_no_word():
    with pytest.raises(TypeError, match="is not a number: 'slight'"):
        BOOK.number("occasions.parade.own_band.within_beat")
    with pytest.raises(TypeError, match="is not a number: True"):
        BOOK.number("idioms.jig.round")
    with pytest.raises(TypeError, match="is not a word: 35"):
        BOOK.word(LENGTH)


def test_a_rule_nobody_wrote_is_not_found():
    with pytest.raises(KeyError, match=r"thresholds\.gracenote\.width"):
        BOOK["thresholds.gracenote.width"]


def test_the_special_case_is_found_before_the_general():
    special, general = "occasions.competition.medley.slow_air.across_phrase", LENGTH
    assert BOOK.find("no.such.rule", special, general) is BOOK[special]
    assert BOOK.find("no.such.rule") is None


def test_names_are_those_one_level_below():
    assert BOOK.names("occasions.parade") == ("own_band", "massed", "long_column")
    assert set(BOOK.section("thresholds.gracenote")) == {"length", "shortest", "tight", "open"}


def test_a_bands_own_value_goes_before_the_books_and_leaves_the_book_alone():
    own = replace(BOOK[LENGTH], value=42, status=Status.OWN, set_by="the pipe-major")
    mine = BOOK.with_own({LENGTH: own})
    assert (mine.number(LENGTH), BOOK.number(LENGTH)) == (42.0, 35.0)
    assert mine[LENGTH].set_by == "the pipe-major"


def test_a_rule_gives_its_reason_with_key_value_and_source():
    reason = BOOK["occasions.parade.own_band.across_bar"].reason()
    assert reason.rule == "occasions.parade.own_band.across_bar"
    assert (reason.value, reason.source) == ("none", "trade")
    assert "drums are strict" in reason.text
