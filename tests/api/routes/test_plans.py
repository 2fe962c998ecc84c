"""Plans over HTTP."""

import pytest
from fastapi.testclient import TestClient

from tests.api.library import a_set, a_tune, an_event, if_match, upload

# Scenario: low A before a taorluath, 2/4 at 76; in competition it is played late, by agreement.
TAORLUATH = (
    b"X:1\nT:The Wicker Gate\nR:march\nM:2/4\nL:1/16\nQ:1/4=76\nK:HP\n"
    b"|: e2 | {g}A4 {GdGe}A3B | {gcd}c3e {ag}a3e | {Gdc}d3B {g}c3A | {gBd}B3A {GdG}B2 :|\n"
)
CONTROL = {"control": {"rung": 4}}


def an_event_of(client: TestClient, occasion: str) -> str:
    key = upload(client, TAORLUATH).json()[0]["key"]
    setting = {"occasion": occasion, **CONTROL}
    return "/api/events/" + an_event(client, a_set(client, key), setting=setting)


def test_the_same_tune_is_planned_otherwise_on_another_occasion(client: TestClient) -> None:
    key = upload(client, TAORLUATH).json()[0]["key"]
    moves = {}
    for occasion in ("parade", "competition"):
        plan = client.get(f"/api/tunes/{key}/plan?occasion={occasion}&rung=4").json()
        moves[occasion] = [mark["move"] for mark in plan["marks"]]
    assert moves["parade"] == ["tighten"]
    assert moves["competition"][0] == "late"


def test_an_events_plan_has_every_tune_and_the_running_order(client: TestClient) -> None:
    answer = client.get(f"{an_event_of(client, 'parade')}/plan")
    planned = answer.json()
    assert (answer.status_code, answer.headers["etag"]) == (200, '"1"')
    assert planned["sets"][0]["entries"][0]["plan"]["tune"]["title"] == "The Wicker Gate"
    # 8 full bars of two crotchets and the pick-ups at 76 a minute, once through
    assert planned["slots"][0]["seconds"] == pytest.approx(planned["seconds"])
    assert planned["is_ready_to_print"] is True


def test_a_mark_to_be_agreed_keeps_an_event_from_print_until_it_is(client: TestClient) -> None:
    event = an_event_of(client, "competition")
    planned = client.get(f"{event}/plan").json()
    assert planned["is_ready_to_print"] is False
    for version, mark in enumerate(marks_to_agree(planned), start=1):
        client.post(f"{event}/agreements", json=mark, headers=if_match(version))
    planned = client.get(f"{event}/plan").json()
    assert planned["is_ready_to_print"] is True
    assert "agreed" in {mark["agreement"] for mark in all_marks(planned)}


def test_a_refusal_after_an_agreement_is_the_word_that_holds(client: TestClient) -> None:
    event = an_event_of(client, "competition")
    mark = marks_to_agree(client.get(f"{event}/plan").json())[0]
    client.post(f"{event}/agreements", json=mark, headers=if_match(1))
    client.post(f"{event}/agreements", json={**mark, "is_agreed": False}, headers=if_match(2))
    moves = {(mark["bar"], mark["move"]) for mark in all_marks(client.get(f"{event}/plan").json())}
    assert (mark["bar"], mark["move"]) not in moves


def test_a_mark_set_by_hand_is_in_the_plan_and_a_forbidden_one_is_not(client: TestClient) -> None:
    event = an_event_of(client, "parade")
    chosen = all_marks(client.get(f"{event}/plan").json())[0]
    assert (chosen["bar"], chosen["note"]) == (1, "low A")
    place = {"tune_key": "1", "part": 1, "bar": 1, "index": 0, "will": "forbidden"}
    client.post(f"{event}/hand-marks", json=place, headers=if_match(1))
    assert 1 not in [mark["bar"] for mark in all_marks(client.get(f"{event}/plan").json())]
    lock = {**place, "bar": 3, "will": "locked", "move": "hold", "ms": 15}
    client.post(f"{event}/hand-marks", json=lock, headers=if_match(2))
    marks = all_marks(client.get(f"{event}/plan").json())
    assert [(mark["bar"], mark["move"], mark["ms"]) for mark in marks] == [(3, "hold", 15)]


def test_an_agreement_at_another_tempo_does_not_count(client: TestClient) -> None:
    event = an_event_of(client, "competition")
    mark = marks_to_agree(client.get(f"{event}/plan").json())[0]
    client.post(f"{event}/agreements", json={**mark, "tempo_bpm": 90}, headers=if_match(1))
    words = {mark["agreement"] for mark in all_marks(client.get(f"{event}/plan").json())}
    assert "agreed" not in words


def test_a_sort_that_does_not_go_with_the_occasion_is_refused(client: TestClient) -> None:
    answer = client.get(f"/api/tunes/{a_tune(client)}/plan?occasion=parade&sort=medley")
    assert (answer.status_code, answer.json()["errors"][0]["field"]) == (422, "setting.sort")


@pytest.mark.parametrize("address", ["/api/tunes/9/plan?occasion=parade", "/api/events/9/plan"])
def test_a_plan_of_what_is_not_there_is_404(client: TestClient, address: str) -> None:
    assert client.get(address).status_code == 404


def test_an_event_without_a_running_order_has_an_empty_plan(client: TestClient) -> None:
    planned = client.get(f"/api/events/{an_event(client)}/plan").json()
    assert (planned["sets"], planned["slots"], planned["seconds"]) == ([], [], 0)


def all_marks(planned: dict) -> list[dict]:
    return [
        mark
        for each in planned["sets"]
        for entry in each["entries"]
        for mark in entry["plan"]["marks"]
    ]


def marks_to_agree(planned: dict) -> list[dict]:
    tempo = planned["sets"][0]["entries"][0]["plan"]["tune"]["tempo_bpm"]
    said = {"tune_key": "1", "tempo_bpm": tempo, "is_agreed": True, "who": "Tove Marl"}
    names = ("part", "bar", "ending", "beat", "move", "ms")
    return [
        {**said, **{name: mark[name] for name in names}}
        for mark in all_marks(planned)
        if mark["agreement"] == "to be agreed"
    ]
