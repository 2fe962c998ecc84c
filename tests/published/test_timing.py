"""Figures of hearing, rhythm and tuning that others have printed, against the engine's."""

import math
import tomllib
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from planner.analysis.beats import beat_strength
from planner.analysis.pointedness import npvi
from planner.analysis.salience import THOMASSEN, drone_accent, melodic_accents
from planner.marks.audibility import lab_threshold, music_threshold
from planner.marks.clash import flam_probability, flam_threshold
from planner.music.tempo import Metre
from planner.music.tuning import OF_1954, sounding_hz
from planner.rules.load import load_rulebook

BOOK = load_rulebook()
TABLES = tomllib.loads(Path(__file__).with_name("timing.toml").read_text(encoding="utf-8"))


def rows(table: str) -> Any:
    return [pytest.param(row, id=str(row.get("name", n))) for n, row in enumerate(TABLES[table])]


@pytest.mark.parametrize("row", rows("best_ear"))
def test_the_best_ear_hears_the_printed_shift(row):
    assert lab_threshold(row["ioi_ms"], BOOK) == pytest.approx(row["expected_ms"], abs=1e-9)


@pytest.mark.parametrize("row", rows("in_a_melody"))
def test_a_melody_hides_up_to_the_printed_lengthening(row):
    assert music_threshold(row["ioi_ms"], BOOK) == pytest.approx(row["expected_ms"], abs=1e-9)


@pytest.mark.parametrize("row", rows("heard_apart"))
def test_two_parts_are_heard_apart_from_the_printed_shift(row):
    assert flam_threshold(row["direction"] == "late", BOOK) == row["expected_ms"]


@pytest.mark.parametrize("row", rows("flam"))
def test_a_flam_comes_as_often_as_the_normal_distribution_says(row):
    chance = flam_probability(row["shift_ms"], row["joint_sigma_ms"], BOOK)
    assert 100 * chance == pytest.approx(row["expected_percent"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("npvi"))
def test_a_rhythm_is_as_pointed_as_the_formula_says(row):
    lengths = [float(Fraction(word)) for word in row["lengths"].split()]
    assert npvi(lengths) == pytest.approx(row["expected"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("accent"))
def test_the_accent_table_is_the_printed_one(row):
    assert THOMASSEN[tuple(row["steps"])] == (row["this"], row["next"])


def test_the_accent_table_holds_nothing_else():
    assert set(THOMASSEN) == {tuple(row["steps"]) for row in TABLES["accent"]}


@pytest.mark.parametrize("row", rows("melody"))
def test_a_printed_melody_has_its_printed_accents(row):
    assert melodic_accents(row["midi"]) == pytest.approx(row["expected"], abs=5e-5)


@pytest.mark.parametrize("row", rows("strength"))
def test_the_places_of_a_bar_are_as_strong_as_printed(row):
    metre, grid = Metre(*row["metre"]), Fraction(row["grid"])
    places = [grid * place for place in range(int(metre.bar_length / grid))]
    assert [beat_strength(place, metre) for place in places] == row["expected"]


@pytest.mark.parametrize("row", rows("tension"))
def test_the_tension_of_a_note_is_its_melodic_charge(row):
    for note, charge in row["charges"].items():
        assert drone_accent(note, False, BOOK) == pytest.approx(charge / row["largest"], abs=0.005)


@pytest.mark.parametrize("row", rows("scale"))
def test_the_chanter_sounds_its_printed_ratios(row):
    ratios = OF_1954 if row.get("of_1954") else {}
    for note, hz in row["hz"].items():
        assert sounding_hz(note, row["low_a_hz"], ratios) == pytest.approx(hz, abs=0.001)


@pytest.mark.parametrize("row", rows("cents"))
def test_a_note_lies_its_printed_cents_above_low_a(row):
    cents = 1200 * math.log2(sounding_hz(row["note"], 470) / 470)
    assert cents == pytest.approx(row["expected"], abs=0.06)
