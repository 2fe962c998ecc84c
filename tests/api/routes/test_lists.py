"""Lists go out and come in as CSV (RFC 4180): whole, or not at all."""

from typing import Any

import pytest
from fastapi.testclient import TestClient

from tests.api.library import a_person, an_event, if_match, stored


def send(client: TestClient, what: str, text: str, headers: dict[str, str] | None = None) -> Any:
    file = {"file": ("list.csv", text.encode())}
    return client.post(f"/api/lists/{what}", files=file, headers=headers or {})


PEOPLE = 'name,instrument,learner,rung,role\r\n"Ada, the elder",pipes,yes,3,"pipe-""sergeant"""\r\n'


def test_people_come_back_out_as_they_came_in(client: TestClient) -> None:
    assert send(client, "people", PEOPLE).json() == {"taken": 1}
    assert client.get("/api/lists/people.csv").text == PEOPLE
    assert client.get("/api/people").json()[0]["role"] == 'pipe-"sergeant"'


def test_tunes_come_back_out_as_they_came_in(client: TestClient) -> None:
    text = (
        "title,idiom,tempo,tonal centre,occasions,composer,arranger,permission,metre,parts,"
        "standard setting\r\n"
        "The Salt Gate,march,86.5,A,parade; exhibition,A. Nother,,own,2/4,8x2 8x2,the county's\r\n"
    )
    assert send(client, "tunes", text).json() == {"taken": 1}
    assert client.get("/api/lists/tunes.csv").text == text
    assert client.get("/api/tunes/1").json()["standard_setting"] == "the county's"


def test_a_list_without_the_newer_columns_is_taken_too(client: TestClient) -> None:
    text = "title,metre,parts\r\nThe Salt Gate,2/4,8x2 8x2\r\n"
    assert send(client, "tunes", text).json() == {"taken": 1}


def test_answers_come_in_by_name_and_the_others_keep_theirs(client: TestClient) -> None:
    a_person(client, "Ada"), a_person(client, "Bo")
    key = an_event(client)
    said = {"answers": [{"person_key": "1", "answer": "yes"}]}
    client.put(f"/api/events/{key}/line-up", json=said, headers=if_match(1))
    answer = send(client, f"events/{key}/answers", "name,answer\r\nbo,maybe\r\n", if_match(2))
    assert answer.headers["etag"] == '"3"'
    out = client.get(f"/api/lists/events/{key}/answers.csv").text
    assert out == "name,answer\r\nAda,yes\r\nBo,maybe\r\n"


def test_one_bad_row_keeps_the_whole_list_out_and_every_bad_row_is_said(client: TestClient) -> None:
    text = "name,instrument\nAda,pipes\nBo,harp\nCy,snare\nada,pipes\n,bass\nDi,pipes,extra\n"
    answer = send(client, "people", text)
    assert answer.status_code == 422
    assert [each["field"] for each in answer.json()["errors"]] == [
        "row 3",
        "row 5",
        "row 6",
        "row 7",
    ]
    assert "“harp” is not known" in answer.json()["errors"][0]["detail"]
    assert stored(client)["people"] == 0


def test_a_person_who_is_there_already_is_not_taken_twice(client: TestClient) -> None:
    a_person(client, "Ada")
    answer = send(client, "people", "name,instrument\nADA,pipes\n")
    assert "“ADA” is there already" in answer.json()["errors"][0]["detail"]
    assert stored(client)["people"] == 1


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "there is no column “name”"),
        ("name\nAda\n", "there is no column “instrument”"),
        ("name,instrument,shoe\nAda,pipes,9\n", "nobody knows a column “shoe”"),
        ("name,instrument,name\nAda,pipes,Bo\n", "a column stands there twice"),
        ('name,instrument\n"Ada,pipes\n', "it is no CSV text"),
    ],
)
def test_a_list_that_cannot_be_read_says_why(client: TestClient, text: str, said: str) -> None:
    answer = send(client, "people", text)
    assert answer.status_code == 422
    assert said in answer.json()["detail"]
    assert stored(client)["people"] == 0


@pytest.mark.parametrize(
    "row",
    [
        "Gate,march,0,2/4,8x2",
        "Gate,polka?,,2/4,8x2",
        "Gate,,,2/0,8x2",
        "Gate,,,2/4,",
        "Gate,,,2/4,0x1",
    ],
)
def test_a_tune_that_makes_no_sense_is_refused(client: TestClient, row: str) -> None:
    assert send(client, "tunes", f"title,idiom,tempo,metre,parts\n{row}\n").status_code == 422
    assert stored(client)["tunes"] == 0


def test_answers_need_the_version_that_was_seen_and_a_known_name(client: TestClient) -> None:
    a_person(client, "Ada")
    key = an_event(client)
    ada = "name,answer\nAda,yes\n"
    assert send(client, f"events/{key}/answers", ada).status_code == 428
    assert send(client, f"events/{key}/answers", ada, if_match(7)).status_code == 412
    nobody = send(client, f"events/{key}/answers", "name,answer\nAda,yes\nZo,no\n", if_match(1))
    assert "nobody of the band are called “Zo”" in nobody.json()["errors"][0]["detail"]
    assert client.get(f"/api/events/{key}").json()["line_up"]["answers"] == []
