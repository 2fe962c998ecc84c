"""Cases a pipe-major can read and correct, against the plan."""

import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from api.display.paper.phrased_music import TunePictures, phrased_tune_view
from planner.event.event import (
    SORTS_BY_OCCASION,
    Circumstance,
    Control,
    Drums,
    Occasion,
    Setting,
    Sort,
)
from planner.marks.marks import Mark
from planner.plan import TunePlan, plan_tune
from planner.rules.load import load_rulebook
from tests.builders import tune

FILES = sorted(Path(__file__).parent.glob("*.toml"))
#: A plan may not warn of these unless its scenario says so.
TELLING = {"tight_corner", "rung_work", "rung_assumed", "no_mark"}


def _scenarios() -> Iterator[Any]:
    for file in FILES:
        table = tomllib.loads(file.read_text(encoding="utf-8"))
        for row in table["scenario"]:
            case = {**row, "tune": table["tune"][row["tune"]]}
            yield pytest.param(case, id=f"{file.stem}: {row['name']}")


SCENARIOS = list(_scenarios())


def setting_of(case: dict[str, Any]) -> Setting:
    occasion = Occasion(case["occasion"])
    rung = case.get("rung", 4) or None
    return Setting(
        occasion,
        Sort(case["sort"]) if "sort" in case else SORTS_BY_OCCASION[occasion][0],
        Drums(case.get("drums", "full")),
        Control(rung),
        tuple(Circumstance(word) for word in case.get("circumstances", [])),
    )


@cache
def planned(abc: str, idiom: str, tempo: float, length: str, setting: Setting) -> TunePlan:
    built = tune(abc, idiom=idiom, tempo=tempo, length=length)
    return plan_tune(built, setting, load_rulebook())


def plan_of(case: dict[str, Any]) -> TunePlan:
    given = case["tune"]
    length = given.get("length", "1/8")
    return planned(given["abc"], given["idiom"], given["tempo"], length, setting_of(case))


def mark_lines(plan: TunePlan) -> list[tuple[int, float, str, str, int]]:
    return [
        (
            mark.place.address.bar,
            float(mark.place.address.beat),
            mark.place.note,
            mark.move.value,
            round(mark.ms),
        )
        for mark in plan.marks
    ]


@pytest.mark.parametrize("case", SCENARIOS)
def test_the_layers_are_as_free_as_the_occasion_leaves_them(case):
    layers = plan_of(case).licence.layers
    got = [layers.within_beat, layers.across_bar, layers.across_phrase]
    assert got == case["layers"]


@pytest.mark.parametrize("case", SCENARIOS)
def test_the_plan_has_these_marks_and_no_other(case):
    wanted = [(m["bar"], m["beat"], m["note"], m["move"], m["ms"]) for m in case["marks"]]
    assert mark_lines(plan_of(case)) == wanted


def places_of(plan: TunePlan, mark: Mark) -> set[str]:
    """Everything a pipe-major could say of where a mark stands."""
    notes, movements = plan.analysis.notes, plan.analysis.movements
    here = next(note for note in notes if note.place == mark.place)
    bar, found = here.address.bar, set()
    if here.address.beat == 1:
        opened = [
            (bar == 1, "part"),
            (bar % 4 == 1, "line"),
            (bar % 2 == 1, "phrase"),
            (True, "bar"),
        ]
        found |= {
            f"opens the {word}" if word == "part" else f"opens a {word}"
            for is_it, word in opened
            if is_it
        }
    own = movements[here.index]
    found |= {f"carries a {own.name}"} if own else set()
    after = notes[here.follower] if here.follower is not None else None
    if after is not None:
        coming = movements[after.index]
        found |= {f"before a {coming.name}"} if coming else set()
        is_in_beat = (after.bar_index, after.beat_number) == (here.bar_index, here.beat_number)
        found |= (
            {"long before a short note"}
            if is_in_beat and after.note.length < here.note.length
            else set()
        )
        found |= (
            {"closes a phrase"} if bar % 2 == 0 and after.bar_index != here.bar_index else set()
        )
    length, beat = here.note.length, here.bar.metre.beat_length
    return found | ({"fills its beat"} if length >= beat and here.is_on_beat else set())


@pytest.mark.parametrize("case", [p for p in SCENARIOS if p.values[0]["marks"]])
def test_each_mark_stands_where_a_pipe_major_would_look_for_it(case):
    plan = plan_of(case)
    for mark, told in zip(plan.marks, case["marks"], strict=True):
        wanted = set(told["where"].split(", "))
        assert wanted <= places_of(plan, mark), places_of(plan, mark)


@pytest.mark.parametrize("case", SCENARIOS)
def test_the_drums_follow_in_these_bars_and_are_strict_in_all_others(case):
    bars = plan_of(case).drums.bars
    wanted = {bar: "follow" for bar in case.get("follow", [])}
    assert {b.bar: b.verdict for b in bars} == {b.bar: wanted.get(b.bar, "strict") for b in bars}


@pytest.mark.parametrize("case", SCENARIOS)
def test_the_plan_warns_of_what_matters_and_of_nothing_else_that_does(case):
    codes = {finding.code for finding in plan_of(case).warnings}
    assert codes & TELLING == set(case.get("warnings", []))


@pytest.mark.parametrize("case", [p for p in SCENARIOS if not p.values[0]["marks"]])
def test_a_plan_without_marks_says_on_the_sheet_why(case):
    said = phrased_tune_view(plan_of(case), TunePictures()).no_marks
    reasons = {
        "no_mark": ("play it as written",),
        "rung_work": ("steady beat first", "dots and cuts", "join the short notes"),
    }
    (code,) = set(case["warnings"]) & set(reasons)
    assert said.startswith("No marks: ")
    assert any(reason in said for reason in reasons[code]), said


# Where can each idiom be played? A march, strathspey and reel contest has only these three.
ROWS = [
    (Occasion.PARADE, Sort.OWN_BAND, Drums.FULL),
    (Occasion.PARADE, Sort.MASSED, Drums.FULL),
    (Occasion.PARADE, Sort.LONG_COLUMN, Drums.FULL),
    (Occasion.DANCE, SORTS_BY_OCCASION[Occasion.DANCE][0], Drums.FULL),
    (Occasion.DANCE, SORTS_BY_OCCASION[Occasion.DANCE][0], Drums.NONE),
    (Occasion.COMPETITION, Sort.MARCH_STRATHSPEY_REEL, Drums.FULL),
    (Occasion.COMPETITION, Sort.MEDLEY, Drums.FULL),
    (Occasion.EXHIBITION, Sort.STANDING, Drums.FULL),
    (Occasion.EXHIBITION, Sort.SOLO, Drums.NONE),
]
OF_THREE = ("march", "strathspey", "pointed reel", "round reel")


def test_every_idiom_has_a_scenario_on_every_occasion_it_is_played_on():
    cases = [param.values[0] for param in SCENARIOS]
    plain = [(case["tune"]["idiom"], setting_of(case)) for case in cases]
    covered = {
        (idiom, where.occasion, where.sort, where.drums)
        for idiom, where in plain
        if where.control.rung == 4 and not where.circumstances
    }
    idioms = [name.replace("_", " ") for name in load_rulebook().names("idioms")]
    wanted = {(idiom, *row) for idiom in idioms for row in ROWS}
    unplayed = {
        row for row in wanted if row[2] is Sort.MARCH_STRATHSPEY_REEL and row[0] not in OF_THREE
    }
    assert not wanted - unplayed - covered


def test_every_sort_and_many_a_circumstance_have_a_scenario():
    settings = [setting_of(param.values[0]) for param in SCENARIOS]
    assert {setting.sort for setting in settings} == set(Sort)
    assert {len(setting.circumstances) for setting in settings} >= {0, 1, 2}
