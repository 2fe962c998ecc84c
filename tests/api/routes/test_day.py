"""The day changes: everything is timed again, a new version is made, and what changed is said."""

from typing import Any

import pytest
from fastapi.testclient import TestClient

from tests.api.library import a_person, a_set, a_tune, an_event, if_match

CLOCK = {"meet": "09:00", "tune_up": "09:30", "step_off": "10:00", "end": "11:00"}


def planned(client: TestClient) -> str:
    tune = a_tune(client)
    sets = [a_set(client, tune, number=1), a_set(client, tune, number=2)]
    key = an_event(client, *sets, clock=CLOCK)
    said = {"answers": [{"person_key": a_person(client), "answer": "yes"}]}
    client.put(f"/api/events/{key}/line-up", json=said, headers=if_match(1))
    return key


def change(client: TestClient, key: str, version: int = 2, **form: Any) -> Any:
    return client.post(f"/api/events/{key}/day", json=form, headers=if_match(version))


def test_a_moved_slot_re_times_every_set_and_keeps_meet(client: TestClient) -> None:
    answer = change(client, planned(client), move_minutes=20)
    assert answer.headers["etag"] == '"3"'
    clock = answer.json()["event"]["clock"]
    assert (clock["meet"], clock["step_off"], clock["end"]) == ("09:00:00", "10:20:00", "11:20:00")
    assert "Set 1 starts at 10:20, was 10:00." in answer.json()["said"]


def test_a_dropped_set_and_a_missing_player_are_said(client: TestClient) -> None:
    key = planned(client)
    assert "Set 1 is dropped." in change(client, key, drop_item=1).json()["said"]
    gone = change(client, key, 3, missing_person="1").json()
    assert gone["said"] == ["Perrin Oxgate is missing: 0 on pipes now."]
    assert gone["event"]["line_up"]["answers"] == [{"person_key": "1", "answer": "no"}]
    versions = [each["version"] for each in client.get(f"/api/events/{key}/changes").json()]
    assert versions == [4, 3, 2]


def test_a_change_by_the_whole_form_is_told_too(client: TestClient) -> None:
    key = planned(client)
    seen = client.get(f"/api/events/{key}").json()
    form = {"name": seen["name"], "setting": {"occasion": "parade"}, "items": seen["items"]}
    form["clock"] = {**CLOCK, "step_off": "10:05"}
    client.put(f"/api/events/{key}", json=form, headers=if_match(2))
    told = client.get(f"/api/events/{key}/changes").json()[0]
    assert told["said"][0] == "Step-off is 10:05, was 10:00."


@pytest.mark.parametrize(
    "form",
    [
        {},
        {"move_minutes": 0},
        {"move_minutes": 2000},
        {"drop_item": 3},
        {"missing_person": "9"},
        {"drop_item": 1, "move_minutes": 5},
    ],
)
def test_a_change_that_makes_no_sense_changes_nothing(
    client: TestClient, form: dict[str, Any]
) -> None:
    key = planned(client)
    answer = change(client, key, **form)
    assert answer.status_code == 422
    assert client.get(f"/api/events/{key}").json()["version"] == 2


def test_a_change_needs_the_version_that_was_seen(client: TestClient) -> None:
    key = planned(client)
    assert change(client, key, 1, move_minutes=5).status_code == 412
    assert client.post(f"/api/events/{key}/day", json={"move_minutes": 5}).status_code == 428


def test_the_page_does_it_by_plain_forms_and_shows_what_changed(client: TestClient) -> None:
    key = planned(client)
    page = client.post(f"/events/{key}/day", data={"version": "2", "move_minutes": "-15"})
    assert "Set 1 starts at 09:45, was 10:00." in page.text
    assert "Set 1 starts at 09:45, was 10:00." in client.get(f"/events/{key}").text


def test_what_cannot_be_done_comes_back_on_the_page(client: TestClient) -> None:
    key = planned(client)
    page = client.post(f"/events/{key}/day", data={"version": "2", "move_minutes": "soon"})
    assert page.status_code == 422
    assert 'value="soon"' in page.text


def test_an_event_that_overlaps_another_of_the_day_is_refused(client: TestClient) -> None:
    an_event(client, name="Fair", day="2031-06-07", clock=CLOCK)
    form = {"name": "Gala", "setting": {"occasion": "parade"}, "day": "2031-06-07"}
    form["clock"] = {"meet": "10:30", "end": "12:00"}
    answer = client.post("/api/events", json=form)
    assert "it overlaps “Fair”, 09:00 to 11:00; move one of the two" in answer.json()["detail"]
    form["clock"] = {"meet": "11:00", "end": "12:00"}
    assert client.post("/api/events", json=form).status_code == 201


def test_a_person_who_answers_twice_is_refused(client: TestClient) -> None:
    key = planned(client)
    said = [{"person_key": "1", "answer": "yes"}, {"person_key": "1", "answer": "no"}]
    answer = client.put(f"/api/events/{key}/line-up", json={"answers": said}, headers=if_match(2))
    assert "Perrin Oxgate is down 2 times; name each person once" in answer.json()["detail"]


def test_a_window_whose_shortest_time_is_longer_than_its_longest_is_refused(
    client: TestClient,
) -> None:
    key = "contests.rspba_2026.grade_2.medley.shortest"
    form = {"value": 400, "set_by": "Morna"}
    answer = client.put(f"/api/rules/{key}", json=form, headers=if_match(0))
    assert answer.status_code == 422
    assert "400 s, is longer than the longest, 360 s" in answer.json()["detail"]
