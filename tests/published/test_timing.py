"""Figures of hearing, rhythm and tuning that others have printed, against the engine's."""

import math
import tomllib
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from planner.analysis.analyse import analyse
from planner.analysis.beats import beat_strength
from planner.analysis.pointedness import npvi
from planner.analysis.salience import THOMASSEN, drone_accent, melodic_accents
from planner.marks.audibility import heard_from, lab_threshold, music_threshold
from planner.marks.clash import flam_probability, flam_threshold
from planner.music.tempo import Metre
from planner.music.tuning import OF_1954, sounding_hz
from planner.rules.load import load_rulebook
from tests.builders import tune

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
    ratios = OF_1954 if row.get("of_1954") else {}
    cents = 1200 * math.log2(sounding_hz(row["note"], 470, ratios) / 470)
    assert cents == pytest.approx(row["expected"], abs=0.06)


@pytest.mark.parametrize("row", rows("cautious"))
def test_the_threshold_in_a_melody_is_the_lowest_printed_and_a_band_may_be_cautious(row):
    printed_ms = row["percent"] / 100 * row["ioi_ms"]
    floor = "thresholds.audibility.music_floor"
    cautious = BOOK.with_own({floor: replace(BOOK[floor], value=30)})
    assert music_threshold(row["ioi_ms"], BOOK) <= printed_ms
    assert music_threshold(row["ioi_ms"], cautious) >= printed_ms


@pytest.mark.parametrize("row", rows("tempo_change"))
def test_what_passes_as_the_same_tempo_is_below_what_is_noticed(row):
    assert 100 * BOOK.number("joins.smooth.same_tempo") < row["percent"]
    assert BOOK.number("occasions.dance.tolerance") < row["percent"]


@pytest.mark.parametrize("row", rows("apart_range"))
def test_drums_among_themselves_and_pipes_among_themselves_have_the_printed_range(row):
    found = [BOOK.number(f"thresholds.clash.{row['who']}_{end}") for end in ("early", "late")]
    assert found == row["range_ms"]
    between = flam_threshold(False, BOOK), flam_threshold(True, BOOK)
    low, high = TABLES["apart_range"][0]["range_ms"][0], TABLES["apart_range"][1]["range_ms"][1]
    assert all(low < each < high for each in between), "pipes against drums lie between them"


@pytest.mark.parametrize("row", rows("refused"))
def test_what_the_drums_refuse_moves_less_than_listeners_like(row):
    for way in ("early", "late"):
        assert BOOK.number(f"thresholds.limit.refused_{way}") < row["below_ms"]


@pytest.mark.parametrize("row", rows("one_sound"))
def test_nothing_is_counted_as_apart_that_is_one_sound(row):
    assert BOOK.number("thresholds.clash.floor") > row["up_to_ms"]
    assert lab_threshold(1.0, BOOK) > row["up_to_ms"]


@pytest.mark.parametrize("row", rows("way_of_sound"))
def test_sound_takes_its_time_for_each_metre(row):
    key = "thresholds.clash.path_difference"
    further = BOOK.with_own({key: replace(BOOK[key], value=row["metres"])})
    used_up = flam_threshold(True, BOOK) - flam_threshold(True, further)
    assert used_up == pytest.approx(row["expected_ms"], abs=row["tolerance"])


@pytest.mark.parametrize("row", rows("where_players_lengthen"))
def test_a_cadence_hides_what_players_do_there_anyway(row):
    assert row["source"]
    plain, cadence = (heard_from(400, True, is_it, True, BOOK) for is_it in (False, True))
    shorter, at_cadence = (heard_from(400, False, is_it, False, BOOK) for is_it in (False, True))
    assert cadence > plain
    assert at_cadence < shorter


@pytest.mark.parametrize("row", rows("late_is_harder"))
def test_late_is_harder_to_hear_than_early(row):
    assert row["source"]
    assert heard_from(400, True, False, True, BOOK) > heard_from(400, False, False, True, BOOK)
    assert flam_threshold(True, BOOK) > flam_threshold(False, BOOK)


@pytest.mark.parametrize("row", rows("pair"))
def test_a_pair_is_shared_out_as_printed(row):
    key = "idioms.strathspey.pointing"
    rules = BOOK.with_own({key: replace(BOOK[key], value=row["ratio"])})
    pair = tune("2/4 | A3B c4 |]", idiom="strathspey", tempo=30, length="1/16")
    long_ms, short_ms, beat_ms = analyse(pair, "strathspey", pair.tempo, rules).written.length_ms
    assert (long_ms / beat_ms, short_ms / beat_ms) == pytest.approx((row["long"], row["short"]))


@pytest.mark.parametrize("row", rows("quickest_note"))
def test_a_bare_note_may_be_as_short_as_one_that_was_measured(row):
    measured = row["whole_ms"] * row["parts"][0] / sum(row["parts"])
    assert measured == row["expected_ms"]
    assert BOOK.number("thresholds.note.bare_minimum") <= measured


@pytest.mark.parametrize("row", rows("gracenotes"))
def test_gracenotes_last_as_long_at_any_tempo(row):
    lengths = set()
    for bpm in row["tempos"]:
        graced = tune("2/4 | {gcd}c4 {GdGe}A4 |]", idiom="march", tempo=bpm, length="1/16")
        lengths |= set(analyse(graced, "march", graced.tempo, BOOK).written.gracenote_ms)
    assert lengths == {BOOK.number("thresholds.gracenote.length")}


@pytest.mark.parametrize("row", rows("on_or_before"))
def test_whether_a_movement_starts_or_ends_on_the_beat_is_the_bands_to_say(row):
    assert row["source"]
    key = "movements.families.doubling"
    doubled = tune("2/4 | A4 {gcd}c4 |]", idiom="march", tempo=76, length="1/16")
    sits = {
        place: analyse(
            doubled, "march", doubled.tempo, BOOK.with_own({key: replace(BOOK[key], value=place)})
        ).written.beat_index[1]
        for place in ("on the beat", "before the beat")
    }
    assert sits == {"on the beat": 0, "before the beat": 3}


@pytest.mark.parametrize("row", rows("tighter"))
def test_only_a_heavy_movement_gives_enough_when_it_is_played_tight(row):
    usual = BOOK.number("thresholds.gracenote.length")
    gain = row["gracenotes"] * usual * (1 - BOOK.number("thresholds.gracenote.tight"))
    assert gain == pytest.approx(row["gain_ms"])
    assert (gain >= BOOK.number("thresholds.tighten.smallest_gain")) == row["is_worth_it"]
