"""The document every reader of a plan relies on, for every demo tune on every occasion."""

import json
from functools import cache
from itertools import product
from typing import Any

import pytest

from api.display.documents.plan import number, plan_document
from planner.event.event import SORTS_BY_OCCASION, Control, Drums, Occasion, Setting
from planner.plan import TunePlan, plan_tune
from planner.rules.load import load_rulebook
from tests.builders import tune
from tests.seed_data.played import FILES, read

NINE = {"low G", "low A", "B", "C", "D", "E", "F", "high G", "high A"}
LEVELS = {"none", "slight", "agreed", "full"}
VERDICTS = {"strict", "watch", "follow", "conflict"}
CASES = [
    pytest.param(file, occasion, rung, id=f"{file.stem} {occasion} {rung}")
    for file, occasion, rung in product(FILES, Occasion, (1, 4))
]

ADDRESS = {"part": int, "bar": int, "ending": {0, 1, 2}, "beat": (int, float)}
PLACE = {**ADDRESS, "note": NINE | {"rest"}}
NUMBER = (int, float)
SPAN = {"first_bar": int, "last_bar": int}
SCHEMA: dict[str, Any] = {
    "tune": {
        "title": str, "idiom": str, "metre": str, "beats_per_bar": int, "beat_unit": str,
        "tempo_bpm": NUMBER, "tonal_centre": str, "pointedness": NUMBER, "bars": int,
        "seconds": NUMBER,
        "parts": [
            {"number": int, "bars": int, "repeated": bool, "lines": [SPAN], "phrases": [SPAN]}
        ],
        "movements": [
            {
                **ADDRESS, "note": NINE, "name": str, "gracenotes": [NINE], "beat_index": int,
                "sits": {"on the beat", "across the beat", "before the beat"},
            }
        ],
    },
    "licence": {
        "occasion": {"parade", "dance", "exhibition", "competition"},
        "layers": {
            "within_beat": LEVELS, "across_bar": LEVELS, "across_phrase": LEVELS,
            "between_tunes": LEVELS,
        },
        "marks_per_line": int,
        "reasons": [{"rule": str, "text": str}],
    },
    "marks": [
        {
            **PLACE,
            "move": {"hold", "tighten", "early", "late", "lean", "breathe"},
            "ms": NUMBER, "beat_fraction": NUMBER, "moved": PLACE,
            "audibility": {"ratio": NUMBER, "lab_ratio": NUMBER, "word": str},
            "producible": {"ratio": NUMBER, "word": str},
            "clash": {"ratio": NUMBER, "p_percent": NUMBER, "p_zero_percent": NUMBER, "word": str},
            "drums": VERDICTS,
            "agreement": {"not needed", "to be agreed", "agreed", "refused"},
            "why": str,
        }
    ],
    "left_out": [{**PLACE, "why": str}],
    "drums": {
        "tempo": {"strict", "agreed", "free", "none"},
        "bars": [
            {"part": int, "bar": int, "ending": {0, 1, 2}, "verdict": VERDICTS, "moves": list}
        ],
    },
    "played": {
        "notes": [
            {
                **PLACE, "written_onset_ms": NUMBER, "onset_ms": NUMBER,
                "movement_start_ms": NUMBER, "sounding_ms": NUMBER,
                "sounding_length_ms": NUMBER,
            }
        ]
    },
    "warnings": [{"code": str, "text": str}],
}  # fmt: skip


def faults(value: Any, schema: Any, where: str = "document") -> list[str]:
    """Everything in a value that is not as the schema has it."""
    if isinstance(schema, dict):
        if not isinstance(value, dict):
            return [f"{where} is no table"]
        missing = [f"{where} has no {key}" for key in schema if key not in value]
        inside = [key for key in schema if key in value]
        return missing + [f for k in inside for f in faults(value[k], schema[k], f"{where}.{k}")]
    if isinstance(schema, list):
        each = enumerate(value) if isinstance(value, list) else ()
        return [fault for n, one in each for fault in faults(one, schema[0], f"{where}[{n}]")]
    if isinstance(schema, set):
        return [] if value in schema else [f"{where} is {value!r}"]
    is_right = isinstance(value, schema) and (schema is bool or not isinstance(value, bool))
    return [] if is_right else [f"{where} is {value!r}"]


@cache
def planned(file: Any, occasion: Occasion, rung: int) -> TunePlan:
    setting = Setting(occasion, SORTS_BY_OCCASION[occasion][0], Drums.FULL, Control(rung))
    return plan_tune(read(file), setting, load_rulebook())


@cache
def text(file: Any, occasion: Occasion, rung: int = 4) -> str:
    return json.dumps(plan_document(planned(file, occasion, rung)), allow_nan=False)


def found(file: Any, occasion: Occasion, rung: int = 4) -> dict[str, Any]:
    document: dict[str, Any] = json.loads(text(file, occasion, rung))
    return document


def marks_of(file: Any, occasion: Occasion) -> set[tuple[Any, ...]]:
    marks = found(file, occasion)["marks"]
    return {(m["part"], m["bar"], m["ending"], m["beat"], m["move"]) for m in marks}


@pytest.mark.parametrize(("file", "occasion", "rung"), CASES)
def test_the_document_keeps_its_contract(file, occasion, rung):
    assert faults(found(file, occasion, rung), SCHEMA) == []


@pytest.mark.parametrize(("file", "occasion", "rung"), CASES)
def test_every_list_has_an_entry_for_each_printed_note_and_bar(file, occasion, rung):
    document, printed = found(file, occasion, rung), read(file)
    bars = [bar for part in printed.parts for bar in part.bars]
    assert len(document["played"]["notes"]) == sum(len(bar.notes) for bar in bars)
    assert len(document["drums"]["bars"]) == sum(not bar.is_pickup for bar in bars)


@pytest.mark.parametrize(("file", "occasion", "rung"), CASES)
def test_the_same_plan_has_the_same_bytes(file, occasion, rung):
    again = planned.__wrapped__(file, occasion, rung)
    assert json.dumps(plan_document(again), allow_nan=False) == text(file, occasion, rung)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
@pytest.mark.parametrize("occasion", [Occasion.PARADE, Occasion.DANCE])
def test_a_beat_point_on_the_beat_stands_where_the_drums_are_strict(file, occasion):
    document = found(file, occasion)
    for note in document["played"]["notes"]:
        if note["beat"] == int(note["beat"]):
            assert note["onset_ms"] == note["written_onset_ms"], note
    assert document["drums"]["tempo"] == "strict"
    assert {bar["verdict"] for bar in document["drums"]["bars"]} == {"strict"}


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
@pytest.mark.parametrize("occasion", Occasion)
def test_a_band_below_rung_four_gets_its_work_and_no_marks(file, occasion):
    document = found(file, occasion, 1)
    assert document["marks"] == []
    assert "rung_work" in {warning["code"] for warning in document["warnings"]}


def test_an_exhibition_shows_what_a_parade_does_not_in_most_demo_tunes():
    more = [f for f in FILES if marks_of(f, Occasion.EXHIBITION) - marks_of(f, Occasion.PARADE)]
    assert len(more) >= 9


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_every_note_of_the_demo_tunes_sounds(file):
    for occasion in Occasion:
        for note in found(file, occasion)["played"]["notes"]:
            assert note["sounding_length_ms"] > 25, note


def test_a_reader_of_a_wrong_document_is_told_where_it_is_wrong():
    document = found(FILES[0], Occasion.COMPETITION)
    document["licence"]["layers"]["within_beat"] = "some"
    del document["tune"]["tempo_bpm"]
    assert faults(document, SCHEMA) == [
        "document.tune has no tempo_bpm",
        "document.licence.layers.within_beat is 'some'",
    ]


@pytest.mark.parametrize(
    ("value", "written"),
    [(2.0, "2"), (-0.0, "0"), (-1e-9, "0"), (1.5, "1.5"), (1 / 3, "0.333333"), (1e6, "1000000")],
)
def test_a_number_is_written_short(value, written):
    assert json.dumps(number(value)) == written


def test_endings_are_listed_once_each_and_the_tune_counts_what_is_played():
    built = tune("2/4 |: A4 | B4 |1 c4 :|2 d4 |]", idiom="march", tempo=60)
    setting = Setting(Occasion.PARADE, SORTS_BY_OCCASION[Occasion.PARADE][0], Drums.FULL)
    document = plan_document(plan_tune(built, setting, load_rulebook()))
    assert [(n["bar"], n["ending"]) for n in document["played"]["notes"]] == [
        (1, 0), (2, 0), (3, 1), (3, 2),
    ]  # fmt: skip
    assert document["tune"]["parts"][0]["bars"] == 4
    assert (document["tune"]["bars"], document["tune"]["seconds"]) == (6, 12)


def test_the_drums_meet_an_early_throw_on_its_own_beat():
    throw = "2/4 |: e2 | {g}A4 {g}c3e | {g}e4 {g}c3A | {Gdc}d4 {g}c3A | {gBd}B3A {g}A2 :|"
    built = tune(throw, idiom="march", tempo=76, length="1/16")
    setting = Setting(Occasion.COMPETITION, SORTS_BY_OCCASION[Occasion.COMPETITION][0])
    bars = plan_document(plan_tune(built, setting, load_rulebook()))["drums"]["bars"]
    (move,) = bars[2]["moves"]
    assert (move["bar"], move["beat"], move["note"], move["ms"]) == (3, 1, "D", -35)
