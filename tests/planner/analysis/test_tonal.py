"""Where a tune's tonal centre lies: durations by published profiles, closing notes beside them."""

import tomllib
from pathlib import Path

import pytest

from planner.analysis.tonal import closing_shares, tonal_centre
from planner.music.tempo import Metre
from planner.music.tune import outline
from planner.notation.read import read_tune
from planner.rules.load import load_rulebook
from tests.builders import tune

SEED = Path(__file__).parents[3] / "seed_data"
COMPOSED = {
    entry["key"]: (entry["file"], entry["tonal_centre"])
    for entry in tomllib.loads((SEED / "band.toml").read_text(encoding="utf-8"))["tune"]
    if "file" in entry
}


@pytest.mark.parametrize("key", COMPOSED)
def test_the_centre_found_is_the_one_the_tune_was_composed_around(key):
    file, centre = COMPOSED[key]
    path = SEED / "tunes" / Path(file).name
    found = tonal_centre(read_tune(path.name, path.read_bytes()).tune, load_rulebook())
    assert found.removesuffix(" minor") == centre


def test_the_closing_note_decides_where_durations_leave_doubt():
    body = "4/4 |: A2e2 B2d2 | f2e2 d2B2 | A2d2 e2d2 | f2e2 B2{} :|"
    centres = {note: tonal_centre(tune(body.format(f"{note}2")), load_rulebook()) for note in "ed"}
    assert centres["d"] == "D"
    assert centres["e"] != "D"


def test_every_part_has_one_say_in_the_closing_notes():
    shares = closing_shares(tune("2/4 |: A2B2 | A4 :: d2B2 | d4 :|"))
    assert (shares[9], shares[2]) == (0.5, 0.5)


def test_a_tune_without_notes_has_no_centre():
    assert tonal_centre(outline("Scan", Metre(2, 4), ((8, 2),)), load_rulebook()) == ""
