"""Embellishments as tutors, syllabuses and articles name, spell and place them."""

import tomllib
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from planner.analysis.movements import name_movement, tachums
from planner.music.scale import chanter_pitch
from planner.music.tempo import Metre
from planner.music.tune import Bar, Note, Part, Tune
from planner.rules.load import load_rulebook
from planner.rules.rulebook import Status

TABLES = tomllib.loads(Path(__file__).with_name("movements.toml").read_text(encoding="utf-8"))
RULES = load_rulebook()
RULE_BY_KEY = {rule.key: rule for rule in RULES.movements}


def published(row: dict[str, Any]) -> Any:
    after = None if row["after"] == "unknown" else row["after"]
    return name_movement(tuple(row["gracenotes"]), row["on"], after, RULES)


def movements() -> Any:
    return [
        pytest.param(row, id=f"{row['name']} {row['on']} after {row['after']}, {row['source']}")
        for row in TABLES["movement"]
    ]


def beats() -> Any:
    return [param for param in movements() if "beat" in param.values[0]]


@pytest.mark.parametrize("row", movements())
def test_a_published_spelling_gets_its_published_name(row):
    got = published(row)
    assert (got.name, got.is_named) == (row["name"], True)


@pytest.mark.parametrize("row", beats())
def test_the_sound_on_the_beat_is_the_one_the_source_gives(row):
    sounds = ["first gracenote", *row["gracenotes"][1:], "melody note"]
    assert sounds[published(row).beat_index] == row["beat"]


@pytest.mark.parametrize("row", TABLES["birl"], ids=lambda row: row["idiom"])
def test_a_birl_sits_where_the_source_feels_the_beat(row):
    spelling = ("low A", "low G", "low A", "low G")
    assert name_movement(spelling, "low A", "E", RULES, row["idiom"]).sits == row["sits"]


def pair_of_notes(row: dict[str, Any]) -> Tune:
    short = Note(
        chanter_pitch(row["short"]), Fraction(row["short_length"]), (chanter_pitch("high G"),)
    )
    long = Note(chanter_pitch(row["long"]), Fraction(row["long_length"]), (chanter_pitch("D"),))
    metre = Metre(2, 4)
    return Tune("Invented", metre, (Part(1, (Bar(1, metre, (short, long)),)),))


@pytest.mark.parametrize("row", TABLES["tachum"])
def test_a_published_tachum_is_found(row):
    (found,) = tachums(pair_of_notes(row))
    assert found.falls == (row["short"], row["long"])


@pytest.mark.parametrize("row", [*TABLES["movement"], *TABLES["birl"], *TABLES["tachum"]])
def test_every_source_is_one_the_rule_book_cites(row):
    assert {row["source"], row.get("beat_source", row["source"])} <= RULES.sources.keys()


@pytest.mark.parametrize("row", movements())
def test_nothing_known_from_memory_is_asserted_as_published(row):
    assert RULE_BY_KEY[published(row).key].status is Status.PUBLISHED
