"""The drummers' score on the command line: it changes where the marks may fall."""

import json
from pathlib import Path

from typer.testing import CliRunner, Result

from api.cli.main import app
from planner.errors import NotationError

MUSIC = "X:1\nT:One\nR:march\nM:2/4\nL:1/16\nK:HP\n|: {g}A3B {g}c4 | {g}e4 {g}f4 :|\n"
SOURCE_WORDS = "a drum strikes where the next note starts, and the drums are strict"


def run(folder: Path, *words: str) -> Result:
    tune = folder / "one.abc"
    tune.write_text(MUSIC, encoding="utf-8")
    asked = ["plan", str(tune), "--occasion", "parade", "--rung", "4", "--json", *words]
    return CliRunner().invoke(app, asked)


def score(folder: Path, *strokes: str) -> Path:
    """A drum score as the grid keeps it: the first bar of the snares."""
    bar = {"part": 1, "bar": 1, "ending": 0, "strokes": list(strokes)}
    file = folder / "drums.json"
    file.write_text(json.dumps({"lines": [{"voice": "snare corps", "bars": [bar]}]}))
    return file


def test_a_score_from_the_grid_says_what_is_struck(tmp_path: Path) -> None:
    without = json.loads(run(tmp_path).stdout)
    assert [(m["bar"], m["move"]) for m in without["marks"]] == [(1, "hold")]
    struck = score(tmp_path, "0", "3/4", "1")
    with_score = json.loads(run(tmp_path, "--drum-score", str(struck)).stdout)
    assert with_score["marks"] == []
    assert SOURCE_WORDS in {each["why"] for each in with_score["left_out"]}
    codes = {each["code"] for each in with_score["warnings"]}
    assert "no_drum_score" not in codes


def test_a_file_that_is_no_drum_score_is_one_sentence(tmp_path: Path) -> None:
    bad = tmp_path / "drums.json"
    bad.write_text("{}")
    problem = run(tmp_path, "--drum-score", str(bad)).exception
    assert isinstance(problem, NotationError)
    assert str(problem).startswith("drums.json: this is no drum score in JSON; ")
