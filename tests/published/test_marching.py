"""Marching speeds that others have printed, against the parade sums."""

import tomllib
from pathlib import Path
from typing import Any

import pytest

from planner.event.street.parade import march, miles_an_hour, rate_for_speed
from planner.rules.load import load_rulebook

BOOK = load_rulebook()
TABLES = tomllib.loads(Path(__file__).with_name("marching.toml").read_text(encoding="utf-8"))


def rows(table: str) -> Any:
    return [pytest.param(row, id=row["name"]) for row in TABLES[table]]


@pytest.mark.parametrize("row", rows("march"))
def test_a_printed_march_covers_its_printed_metres(row):
    got = march(row["rate"], row["pace_m"], minutes=row["minutes"])
    assert got.metres == pytest.approx(row["metres"], rel=1e-12, abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("march"))
def test_a_printed_distance_takes_its_printed_minutes(row):
    got = march(row["rate"], row["pace_m"], distance_m=row["metres"])
    slack = row["tolerance"] / row["metres"]
    assert got.minutes == pytest.approx(row["minutes"], rel=1e-12 + slack)


@pytest.mark.parametrize("row", rows("overstated"))
def test_a_service_step_rate_overstates_a_civilian_march(row):
    own = march(row["rate"], 0.762, minutes=10).metres
    service = march(row["default"], 0.762, minutes=10).metres
    assert round(100 * (service / own - 1)) == row["percent"]


@pytest.mark.parametrize("row", rows("rounded_pace"))
def test_rounding_the_pace_shortens_the_march(row):
    exact = march(120, 0.762, minutes=10).metres
    rounded = march(120, row["pace_m"], minutes=10).metres
    assert round(100 * (1 - rounded / exact), 1) == row["percent"]


@pytest.mark.parametrize("row", rows("mph"))
def test_a_printed_speed_in_miles_an_hour_asks_for_its_paces(row):
    slack = row["tolerance"] * row["rate"] / row["mph"]
    got = rate_for_speed(miles_an_hour(row["mph"]), row["pace_m"])
    assert got == pytest.approx(row["rate"], abs=slack)


@pytest.mark.parametrize("row", rows("on_record"))
def test_the_rule_book_starts_from_the_printed_value(row):
    rule = BOOK[row["rule"]]
    assert rule.value == row.get("value", rule.value)
    assert [rule.low, rule.high] == row.get("from_to", [rule.low, rule.high])


@pytest.mark.parametrize("row", rows("played"))
def test_a_tempo_that_is_played_lies_within_its_idiom(row):
    rule = BOOK[f"idioms.{row['idiom']}.tempo.{row['metre']}"]
    lowest, highest = row["from_to"]
    assert rule.low is not None
    assert rule.high is not None
    assert rule.low <= lowest <= highest <= rule.high


@pytest.mark.parametrize("row", rows("absurd"))
def test_a_tempo_that_is_called_absurd_lies_outside(row):
    rule = BOOK[row.get("rule") or f"idioms.{row['idiom']}.tempo.{row['metre']}"]
    assert rule.low is not None
    assert rule.high is not None
    assert not rule.low <= row["bpm"] <= rule.high
