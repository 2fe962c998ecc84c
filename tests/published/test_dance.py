"""Dances that others have printed, against the dance sums and the dances on record."""

import tomllib
from pathlib import Path
from typing import Any

import pytest

from planner.event.dance import (
    bars_a_minute,
    bars_in_a_step,
    dance_length,
    find_dance,
    is_ordered_by_category,
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


@pytest.mark.parametrize("row", rows("counted"))
def test_a_tempo_means_bars_only_with_its_beats_a_bar(row):
    by_the_row = with_own_bars(find_dance("country-strathspey", BOOK), beats_per_bar=row["beats"])
    assert bars_a_minute(by_the_row, row["tempo"]) == row["bars"]


@pytest.mark.parametrize("row", rows("turns"))
def test_a_country_dance_has_its_turns_and_their_bars(row):
    dance = find_dance(row["dance"], BOOK)
    assert list(dance.usual_steps) == [tuple(row["steps"])]
    assert bars_in_a_step(dance.tempos[0]) == row["bars"]


@pytest.mark.parametrize("row", rows("other_turns"))
def test_a_longer_turn_lies_in_the_range_and_is_reckoned(row):
    dance = find_dance(row["dance"], BOOK)
    bars = dance.tempos[0].bars_per_step
    assert bars.low is not None
    assert bars.high is not None
    assert bars.low <= row["bars"] <= bars.high
    longer = with_own_bars(dance, bars_per_step=row["bars"])
    assert dance_length(longer, (8,), (116,), BOOK).bars == 8 * row["bars"]


@pytest.mark.parametrize("row", rows("one_tempo"))
def test_one_tempo_of_a_dance_is_that_of_its_source(row):
    tempo = find_dance(row["dance"], BOOK).tempos[row["tempo"]]
    assert tempo.tempo is not None
    assert tempo.tempo.value == row["bpm"]
    beats = tempo.beats_per_bar
    assert beats is not None
    assert beats.value == row.get("beats_per_bar", beats.value)


@pytest.mark.parametrize("row", rows("step"))
def test_a_step_has_its_bars(row):
    dance = find_dance(row["dance"], BOOK)
    assert {bars_in_a_step(tempo) for tempo in dance.tempos} == {row["bars"]}


@pytest.mark.parametrize("row", rows("danced_to"))
def test_a_dance_is_danced_to_its_type_of_tune(row):
    found = [tempo.tune_type for tempo in find_dance(row["dance"], BOOK).tempos]
    assert found == row["types"]


@pytest.mark.parametrize("row", rows("listed"))
def test_a_dance_of_which_little_is_printed_is_on_record_without_a_tempo(row):
    dance = find_dance(row["dance"], BOOK)
    assert dance.title == row["name"]
    assert [tempo.tempo for tempo in dance.tempos] == [None]


@pytest.mark.parametrize("row", rows("by_category"))
def test_the_tempo_does_not_rise_with_the_category(row):
    assert is_ordered_by_category(row["tempos"]) is row["is_right"]


@pytest.mark.parametrize("row", rows("bars"))
def test_a_printed_dance_has_its_bars_with_the_introduction_on_record(row):
    dance = find_dance(row["dance"], BOOK)
    assert dance_length(dance, row["steps"], (100,), BOOK).bars == row["bars"]


@pytest.mark.parametrize("row", rows("order"))
def test_the_order_of_tunes_is_that_of_its_source(row):
    assert {BOOK.word(f"dances.{name}.order") for name in row["dances"]} == {row["order"]}
    turns = {find_dance(name, BOOK).usual_steps for name in row["dances"]}
    assert turns == {((len(row["order"].split()),),)}
