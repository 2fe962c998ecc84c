"""Contest rules of the band's own over HTTP: added, changed, removed, used; or refused whole."""

from typing import Any

import pytest
from fastapi.testclient import TestClient

from tests.api.library import a_set, a_tune, an_event, if_match

OWN = "/api/contest-rules/own"
MEDLEY: dict[str, Any] = {
    "body": "Weir Valley", "year": 2027, "grade": "Grade 4", "element": "medley",
    "shortest": 20, "longest": 60, "set_by": "Morna",
}  # fmt: skip
NAME = "weir-valley-2027-grade-4-medley"
FILE = b"""[[ruleset]]
body = "Weir Valley"
year = 2027
grade = "Grade 4"
element = "medley"
shortest = "0:20"
longest = "1:00"
[[ruleset]]
body = "Weir Valley"
year = 2027
grade = "Grade 4"
element = "marches"
tunes = 2
"""


def added(client: TestClient, **more: Any) -> dict[str, Any]:
    answer = client.post(OWN, json={**MEDLEY, **more})
    assert answer.status_code == 201, answer.text
    kept: dict[str, Any] = answer.json()
    return kept


def sent(client: TestClient, content: bytes, set_by: str = "Morna") -> Any:
    files = {"file": ("rules.toml", content)}
    return client.post(f"{OWN}/file", files=files, data={"set_by": set_by})


def names(client: TestClient) -> list[str]:
    return [each["name"] for each in client.get(OWN).json()]


def test_own_rules_are_listed_with_the_books_and_judge_a_set(client: TestClient) -> None:
    kept = added(client)
    assert (kept["name"], kept["set_by"], kept["version"]) == (NAME, "Morna", 1)
    (listed,) = [one for one in client.get("/api/contest-rules").json() if one["is_own"]]
    assert (listed["name"], listed["shortest_seconds"]) == (NAME, 20)
    tune = a_tune(client)
    event = an_event(client, a_set(client, tune, ruleset=NAME), occasion="competition")
    contest = client.get(f"/api/events/{event}/sums").json()["sets"][0]["contest"]
    assert contest["window"] == "0:20 to 1:00"
    assert contest["source"].startswith("the band's own rules, Morna, 20")
    assert contest["times"]["planned"]["confirm"] == "Confirm with your own body's current rules."
    page = client.get(f"/events/{event}").text
    assert "Weir Valley 2027, Grade 4, medley" in page


def test_the_rules_of_the_book_stay_as_they_are(client: TestClient) -> None:
    before = client.get("/api/rules").json()
    added(client)
    assert client.get("/api/rules").json() == before
    assert client.get("/rules").status_code == 200


def test_a_change_needs_the_version_that_was_seen_and_keeps_the_sets(client: TestClient) -> None:
    kept = added(client)
    address = f"{OWN}/{kept['key']}"
    number = a_set(client, a_tune(client), ruleset=NAME.upper())
    new = {**MEDLEY, "element": "long medley", "longest": 90, "set_by": "Tam"}
    assert client.put(address, json=new, headers=if_match(2)).status_code == 412
    changed = client.put(address, json=new, headers=if_match(1))
    assert (changed.json()["set_by"], changed.json()["version"]) == ("Tam", 2)
    entered = client.get(f"/api/sets/{number}").json()["ruleset"]
    assert entered == changed.json()["name"] == "weir-valley-2027-grade-4-long-medley"


def test_a_name_that_is_taken_is_no_new_name(client: TestClient) -> None:
    added(client)
    other = added(client, element="marches")
    renamed = client.put(f"{OWN}/{other['key']}", json=MEDLEY, headers=if_match(1))
    assert renamed.status_code == 422
    assert f"there are rules for {NAME} already" in renamed.json()["detail"]
    assert sorted(names(client)) == sorted([NAME, other["name"]])


def test_rules_that_a_set_is_entered_under_stay(client: TestClient) -> None:
    address = f"{OWN}/{added(client)['key']}"
    number = a_set(client, a_tune(client), ruleset=NAME)
    refused = client.delete(address, headers=if_match(1))
    assert refused.status_code == 409
    assert "the set “Set 1”" in refused.json()["detail"]
    client.delete(f"/api/sets/{number}", headers={"If-Match": "*"})
    assert client.delete(address, headers=if_match(1)).status_code == 204
    assert names(client) == []


def test_a_file_comes_in_whole(client: TestClient) -> None:
    answer = sent(client, FILE)
    assert [each["name"] for each in answer.json()] == [NAME, "weir-valley-2027-grade-4-marches"]
    assert sorted(names(client)) == sorted(each["name"] for each in answer.json())


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (FILE.replace(b"tunes = 2", b"tunes = 0"), "file: rule set 2, tunes: 0 is not right"),
        (
            FILE.replace(b"tunes", b"tuns"),
            "file: rule set 2, tuns: contest rules have no",
        ),
        (FILE.replace(b"0:20", b"2:00"), "file: rule set 1, shortest: the shortest time, 120 s"),
        (FILE.replace(b"marches", b"medley"), f"file: element: there are rules for {NAME} already"),
        (b"\xff\xfe", "file: it is no text in UTF-8"),
        (b"x" * 200_001, "file: it is larger than 200 kB"),
    ],
)
def test_or_a_file_does_not_come_in_at_all(
    client: TestClient, content: bytes, sentence: str
) -> None:
    answer = sent(client, content)
    assert answer.status_code == 422
    assert answer.json()["detail"].startswith(sentence)
    assert names(client) == []


@pytest.mark.parametrize(
    "more",
    [
        {"shortest": 61},
        {"longest": None},
        {"short": 20},
        {"year": "soon"},
        {"tune_types": ["polka"]},
        {"parts": ["four"]},
        {"set_by": ""},
        {"body": "RSPBA", "year": 2026, "grade": "grade 2"},
    ],
)
def test_bad_rules_are_refused_in_one_sentence_and_nothing_is_stored(
    client: TestClient, more: dict[str, Any]
) -> None:
    refused = client.post(OWN, json={**MEDLEY, **more})
    assert refused.status_code == 422
    assert refused.json()["detail"].endswith(".")
    assert names(client) == []


def test_a_changed_value_of_the_book_is_no_rule_set(client: TestClient) -> None:
    key = "/api/rules/thresholds.gracenote.length"
    client.put(key, json={"value": 40, "set_by": "Morna"}, headers=if_match(0))
    assert names(client) == []
    for number in (1, 99):
        assert client.get(f"{OWN}/{number}").status_code == 404
        assert client.delete(f"{OWN}/{number}", headers=if_match(1)).status_code == 404
    assert client.get(key).json()["value"] == 40
