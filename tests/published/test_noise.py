"""Minutes and doses that others have printed, against the sums of the noise dose."""

import tomllib
from pathlib import Path
from typing import Any

import pytest

from planner.event.sound import (
    Exposure,
    average_of_dose,
    criterion_of,
    dose_percent,
    level_of_minutes,
    minutes_to_value,
    sound_dose,
)
from planner.rules.load import load_rulebook

BOOK = load_rulebook()
TABLES = tomllib.loads(Path(__file__).with_name("noise.toml").read_text(encoding="utf-8"))


def rows(table: str) -> Any:
    names = ("limit", "level", "minutes", "percent")
    return [
        pytest.param(row, id="-".join(str(row[name]) for name in names if name in row))
        for row in TABLES[table]
    ]


@pytest.mark.parametrize("row", rows("minutes"))
def test_a_printed_level_reaches_the_daily_value_after_its_printed_minutes(row):
    got = minutes_to_value(row["level"], row["limit"], BOOK)
    assert got == pytest.approx(row["minutes"], rel=1e-12, abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("value"))
def test_a_printed_daily_value_is_on_record(row):
    assert criterion_of(row["limit"], BOOK).value == row["level"]
    assert BOOK.number(f"sound.peak.{row['limit'].replace('-', '_')}") == row["peak"]


@pytest.mark.parametrize("row", rows("dose"))
def test_a_printed_exposure_has_its_printed_dose(row):
    got = dose_percent([Exposure(row["level"], row["minutes"])], "niosh", BOOK)
    assert got == pytest.approx(row["percent"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("backwards"))
def test_the_allowed_minutes_use_up_the_daily_value_at_a_plausible_average(row):
    got = level_of_minutes(row["minutes"], "niosh", BOOK)
    assert got == pytest.approx(row["level"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("trap"))
def test_a_press_maximum_gives_nonsense_and_is_called_one(row):
    got = sound_dose(row["level"], BOOK)
    assert round(got.minutes_to_value * 60) == row["seconds"]
    assert got.minutes_to_value < row["allowed_minutes"] / 10
    assert any("looks like a maximum" in note for note in got.notes)


@pytest.mark.parametrize("row", rows("average"))
def test_the_average_of_a_dose_is_that_of_the_printed_formula(row):
    got = average_of_dose(row["percent"], "niosh", BOOK)
    assert got == pytest.approx(row["level"], abs=row["tolerance"])
