"""Bad input gets one sentence that names the place, and nothing is stored."""

from typing import Any

import pytest
from fastapi.testclient import TestClient

from tests.api.library import a_person, a_set, a_tune, an_event, march, stored, upload

NO_MUSIC = b"Dear band, practice is on Thursday.\n"
BAR_TOO_LONG = march(bars="{g}A2 {g}B2|{g}c2 {g}d2 {g}e2|{g}e2 {g}f2|{g}e2 {g}A2|")
OFF_THE_CHANTER = march(bars="{g}A2 {g}B2|{g}c2 C2|{g}e2 {g}f2|{g}e2 {g}A2|")


@pytest.mark.parametrize(
    ("name", "content", "status", "words"),
    [
        ("letter.abc", NO_MUSIC, 422, "no tune was found"),
        ("empty.abc", b"", 422, "empty"),
        ("blank.abc", b" \n\n", 422, "empty"),
        ("noise.mxl", b"PK\x03\x04" + bytes(range(256)), 422, "noise.mxl"),
        ("long bar.abc", BAR_TOO_LONG, 422, "bar 2"),
        ("off.abc", OFF_THE_CHANTER, 422, "bar 2"),
        ("big.abc", march() + b"%" * 5_000_000, 413, "larger than 2 MB"),
        ("huge.abc", b"%" * 12_000_000, 413, "larger than 11 MB"),
    ],
)
def test_a_file_that_cannot_be_stored_is_refused_in_one_sentence(
    client: TestClient, name: str, content: bytes, status: int, words: str
) -> None:
    answer = upload(client, content, name)
    assert answer.status_code == status
    assert answer.headers["content-type"] == "application/problem+json"
    detail = answer.json()["detail"]
    assert words in detail
    assert detail.endswith(".")
    assert "\n" not in detail
    assert stored(client)["tunes"] == 0


def test_one_bad_tune_of_a_book_keeps_the_whole_book_out(client: TestClient) -> None:
    answer = upload(client, march("Good") + b"\n" + BAR_TOO_LONG, tune="all")
    assert answer.status_code == 422
    assert "The Wicker Gate" in answer.json()["detail"]
    assert stored(client)["tunes"] == 0


GOOD_OUTLINE = {"metre": "2/4", "parts": [[8, 2]]}


@pytest.mark.parametrize(
    ("noun", "form", "field"),
    [
        ("tunes", {"title": "", "outline": GOOD_OUTLINE}, "title"),
        ("tunes", {"title": "x" * 121, "outline": GOOD_OUTLINE}, "title"),
        ("tunes", {"title": "A\x00B", "outline": GOOD_OUTLINE}, "title"),
        ("tunes", {"title": "No outline"}, "outline"),
        ("tunes", {"title": "A", "outline": GOOD_OUTLINE, "tempo_bpm": 0}, "tempo_bpm"),
        ("tunes", {"title": "A", "outline": GOOD_OUTLINE, "tempo_bpm": 301}, "tempo_bpm"),
        ("tunes", {"title": "A", "outline": GOOD_OUTLINE, "tempo_bpm": "NaN"}, "tempo_bpm"),
        ("tunes", {"title": "A", "outline": {"metre": "2/5", "parts": [[8, 2]]}}, "outline.metre"),
        ("tunes", {"title": "A", "outline": {"metre": "2/4", "parts": []}}, "outline.parts"),
        (
            "tunes",
            {"title": "A", "outline": {"metre": "2/4", "parts": [[0, 2]]}},
            "outline.parts.0.0",
        ),
        ("tunes", {"title": "A", "outline": GOOD_OUTLINE, "tags": ["wedding"]}, "tags.0"),
        ("tunes", {"title": "A", "outline": GOOD_OUTLINE, "tonal_centre": "H"}, "tonal_centre"),
        ("tunes", {"title": "A", "outline": GOOD_OUTLINE, "tempo": 80}, "tempo"),
        ("sets", {"number": 0, "name": "A"}, "number"),
        ("sets", {"number": 1, "name": "A", "entries": [{"tune_key": "99"}]}, "entries"),
        ("sets", {"number": 1, "name": "A", "entries": [{"tune_key": "x"}]}, "entries.0.tune_key"),
        ("sets", {"number": 1, "name": "A", "dance": "no such dance"}, "dance"),
        ("sets", {"number": 1, "name": "A", "ruleset": "nobody-1900"}, "ruleset"),
        ("people", {"name": "A", "instrument": "triangle"}, "instrument"),
        ("people", {"name": "A", "instrument": "pipes", "rung": 5}, "rung"),
        ("events", {"name": "A", "setting": {"occasion": "wedding"}}, "setting.occasion"),
        (
            "events",
            {"name": "A", "setting": {"occasion": "parade", "sort": "medley"}},
            "setting.sort",
        ),
        ("events", {"name": "A", "setting": {"occasion": "parade"}, "day": "soon"}, "day"),
        ("events", {"name": "A", "setting": {"occasion": "parade"}, "items": [{}]}, "items"),
        (
            "events",
            {"name": "A", "setting": {"occasion": "parade"}, "items": [{"set_key": "9"}]},
            "items",
        ),
        (
            "events",
            {"name": "A", "setting": {"occasion": "parade"}, "clock": {"meet": "10:00+02:00"}},
            "clock.meet",
        ),
        (
            "events",
            {
                "name": "A",
                "setting": {"occasion": "parade"},
                "route": {"length_m": 0, "pace_m": 0.76, "steps_per_minute": 86},
            },
            "route.length_m",
        ),
    ],
)
def test_a_form_that_makes_no_sense_names_the_field_and_stores_nothing(
    client: TestClient, noun: str, form: dict[str, Any], field: str
) -> None:
    answer = client.post(f"/api/{noun}", json=form)
    assert answer.status_code == 422
    assert answer.headers["content-type"] == "application/problem+json"
    error = answer.json()["errors"][0]
    assert error["field"] == field
    assert error["detail"].endswith(".")
    assert not any(stored(client).values())


def test_a_body_that_is_no_json_is_refused_in_one_sentence(client: TestClient) -> None:
    headers = {"content-type": "application/json"}
    answer = client.post("/api/sets", content=b"{number: 1", headers=headers)
    assert (answer.status_code, answer.json()["title"]) == (422, "The input makes no sense")


def test_a_part_the_tune_does_not_have_is_refused(client: TestClient) -> None:
    entries = [{"tune_key": a_tune(client), "parts": [1, 2]}]
    answer = client.post("/api/sets", json={"number": 1, "name": "A", "entries": entries})
    assert answer.status_code == 422
    assert "entry 1 asks for part 2 of “The Wicker Gate”" in answer.json()["detail"]


@pytest.mark.parametrize(
    ("line_up", "words"),
    [
        ({"answers": [{"person_key": "99", "answer": "yes"}]}, "person 99 is not in the band"),
        ({"outs": [["1", "99"]]}, "tune 99 is not in the library"),
        ({"harmony": [["2", "1"]]}, "Tove Marl does not play the pipes"),
        ({"answers": [{"person_key": "1", "answer": "perhaps"}]}, "answers.0.answer"),
    ],
)
def test_a_line_up_that_makes_no_sense_changes_nothing(
    client: TestClient, line_up: dict[str, Any], words: str
) -> None:
    a_person(client)
    a_person(client, "Tove Marl", "snare")
    key = an_event(client, a_set(client, a_tune(client)))
    answer = client.put(f"/api/events/{key}/line-up", json=line_up, headers={"If-Match": '"1"'})
    assert (answer.status_code, words in answer.json()["detail"]) == (422, True)
    assert client.get(f"/api/events/{key}").json()["version"] == 1


@pytest.mark.parametrize("number", ["0", "-1", "x", "99999999999999999999"])
def test_a_number_that_cannot_be_a_row_is_refused(client: TestClient, number: str) -> None:
    assert client.get(f"/api/tunes/{number}").status_code == 422
