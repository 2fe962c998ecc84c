"""Dances that others have printed, against the dance sums and the dances on record."""

import tomllib
from pathlib import Path
from typing import Any

import pytest

from planner.event.dance import (
    bars_a_minute,
    dance_length,
    find_dance,
    read_steps,
    tempo_of_bars,
    with_own_bars,
)
from planner.event.entry_time import played_beats, time_entry
from planner.event.event import Entry
from planner.music.tempo import Metre, Tempo
from planner.music.tune import outline
from planner.rules.load import load_rulebook

BOOK = load_rulebook()
TABLES = tomllib.loads(Path(__file__).with_name("dance.toml").read_text(encoding="utf-8"))


def rows(table: str) -> Any:
    return [pytest.param(row, id=row["name"]) for row in TABLES[table]]


@pytest.mark.parametrize("row", rows("dance"))
def test_a_printed_dance_has_its_bars_and_lasts_its_seconds(row):
    steps, bars = read_steps(row["steps"])
    dance = with_own_bars(find_dance(row["dance"], BOOK), bars_per_step=bars)
    got = dance_length(dance, steps, row["tempos"], BOOK, row["introduction"])
    assert got.bars == row["bars"]
    assert got.seconds == pytest.approx(row["seconds"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("bars_a_minute"))
def test_a_printed_tempo_means_its_printed_bars_a_minute(row):
    dance = find_dance(row["dance"], BOOK)
    assert bars_a_minute(dance, row["tempo"]) == row["bars"]
    assert tempo_of_bars(dance, row["bars"]) == row["tempo"]


@pytest.mark.parametrize("row", rows("record"))
def test_the_record_of_a_dance_agrees_with_its_source(row):
    dance = find_dance(row["dance"], BOOK)
    on_record = [each.tempo.value for each in dance.tempos if each.tempo]
    assert on_record == row.get("tempos", on_record)
    assert list(map(list, dance.usual_steps)) == row.get(
        "steps", list(map(list, dance.usual_steps))
    )


@pytest.mark.parametrize("row", rows("range"))
def test_the_range_of_a_tempo_is_that_of_its_source(row):
    tempo = find_dance(row["dance"], BOOK).tempos[row["tempo"]].tempo
    assert tempo is not None
    assert [tempo.low, tempo.high] == row["from_to"]


@pytest.mark.parametrize("row", rows("part"))
def test_a_printed_part_has_its_beats_and_lasts_its_seconds(row):
    tune = outline("A Part", Metre(*row["metre"]), ((row["bars"], row["times"]),))
    assert played_beats(Entry("x"), tune) == row["beats"]
    assert time_entry(Entry("x"), tune, Tempo(row["bpm"])) == row["seconds"]


def test_a_strathspey_at_60_of_two_a_bar_is_a_strathspey_at_120_of_four():
    # Scots-L list, messages 02560 and 02563, Feb 2002: the same speed in two ways of counting.
    by_four = find_dance("country-strathspey", BOOK)
    by_two = with_own_bars(by_four, beats_per_bar=2)
    assert bars_a_minute(by_two, 60) == bars_a_minute(by_four, 120)


@pytest.mark.parametrize("row", rows("bars"))
def test_a_printed_dance_has_its_bars_with_the_introduction_on_record(row):
    dance = find_dance(row["dance"], BOOK)
    assert dance_length(dance, row["steps"], (100,), BOOK).bars == row["bars"]
