"""What people settle about single notes of an event."""

from typing import Any

import pytest
from fastapi.testclient import TestClient

from tests.api.library import a_set, a_tune, an_event, if_match


@pytest.fixture
def event(client: TestClient) -> str:
    """The address of an event that plays tune 1."""
    return "/api/events/" + an_event(client, a_set(client, a_tune(client)))


def a_mark(**more: Any) -> dict[str, Any]:
    place = {"tune_key": "1", "part": 1, "bar": 2, "index": 0}
    return {**place, "will": "locked", "move": "hold", "ms": 20, **more}


def an_agreement(**more: Any) -> dict[str, Any]:
    place = {"tune_key": "1", "part": 1, "bar": 2, "beat": 1.667, "move": "late", "ms": 35}
    return {**place, "tempo_bpm": 84, "is_agreed": True, "who": "Tove Marl", **more}


def test_a_mark_by_hand_is_kept_with_its_event_and_makes_a_new_version(
    client: TestClient, event: str
) -> None:
    answer = client.post(f"{event}/hand-marks", json=a_mark(), headers=if_match(1))
    assert (answer.status_code, answer.headers["etag"]) == (201, '"2"')
    mark = client.get(f"{event}/choices").json()["hand_marks"][0]
    assert (mark["move"], mark["ms"], mark["is_for_event"]) == ("hold", 20, True)
    assert client.get(event).json()["version"] == 2


def test_a_second_mark_on_a_note_takes_the_place_of_the_first(
    client: TestClient, event: str
) -> None:
    client.post(f"{event}/hand-marks", json=a_mark(), headers=if_match(1))
    forbidden = a_mark(will="forbidden", move=None, ms=None)
    client.post(f"{event}/hand-marks", json=forbidden, headers=if_match(2))
    marks = client.get(f"{event}/choices").json()["hand_marks"]
    assert [mark["will"] for mark in marks] == ["forbidden"]


def test_a_note_can_be_left_to_the_planner_again(client: TestClient, event: str) -> None:
    number = client.post(f"{event}/hand-marks", json=a_mark(), headers=if_match(1)).json()["number"]
    answer = client.delete(f"{event}/hand-marks/{number}", headers=if_match(2))
    assert (answer.status_code, answer.headers["etag"]) == (204, '"3"')
    assert client.get(f"{event}/choices").json()["hand_marks"] == []


def test_a_mark_of_another_event_is_not_there(client: TestClient, event: str) -> None:
    number = client.post(f"{event}/hand-marks", json=a_mark(), headers=if_match(1)).json()["number"]
    other = "/api/events/" + an_event(client, occasion="exhibition")
    answer = client.delete(f"{other}/hand-marks/{number}", headers=if_match(1))
    assert answer.status_code == 404
    assert client.get(other).json()["version"] == 1


def test_every_word_on_a_mark_is_kept_in_order(client: TestClient, event: str) -> None:
    client.post(f"{event}/agreements", json=an_agreement(), headers=if_match(1))
    refused = an_agreement(is_agreed=False, who="Perrin Oxgate")
    client.post(f"{event}/agreements", json=refused, headers=if_match(2))
    spoken = client.get(f"{event}/choices").json()["agreements"]
    assert [(each["who"], each["is_agreed"]) for each in spoken] == [
        ("Tove Marl", True),
        ("Perrin Oxgate", False),
    ]
    # a third of a beat survives the way through a JSON number
    assert spoken[0]["beat"] == pytest.approx(5 / 3, abs=1e-9)


@pytest.mark.parametrize("address", ["hand-marks", "agreements"])
def test_nobody_settles_what_they_have_not_seen(
    client: TestClient, event: str, address: str
) -> None:
    body = a_mark() if address == "hand-marks" else an_agreement()
    assert client.post(f"{event}/{address}", json=body).status_code == 428
    stale = client.post(f"{event}/{address}", json=body, headers=if_match(7))
    assert stale.status_code == 412
    choices = client.get(f"{event}/choices").json()
    assert not choices["hand_marks"]
    assert not choices["agreements"]


@pytest.mark.parametrize(
    ("address", "body", "field"),
    [
        ("hand-marks", a_mark(move=None), "move"),
        ("hand-marks", a_mark(move="wobble"), "move"),
        ("hand-marks", a_mark(ms=9_999), "ms"),
        ("hand-marks", a_mark(tune_key="9"), "tune_key"),
        ("agreements", an_agreement(who=" "), "who"),
        ("agreements", an_agreement(tempo_bpm=5), "tempo_bpm"),
        ("agreements", an_agreement(tune_key="9"), "tune_key"),
    ],
)
def test_a_settlement_that_makes_no_sense_is_refused(
    client: TestClient, event: str, address: str, body: dict[str, Any], field: str
) -> None:
    answer = client.post(f"{event}/{address}", json=body, headers=if_match(1))
    assert (answer.status_code, answer.json()["errors"][0]["field"]) == (422, field)
    assert client.get(event).json()["version"] == 1
