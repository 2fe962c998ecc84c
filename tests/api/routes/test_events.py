"""Events and their line-ups over HTTP."""

from typing import Any

import pytest
from fastapi.testclient import TestClient

from tests.api.library import a_person, a_set, a_tune, an_event, if_match


def whole_form(set_key: str) -> dict[str, Any]:
    return {
        "name": "Mill Day",
        "day": "2031-06-07",
        "setting": {
            "occasion": "parade",
            "sort": "massed",
            "drums": "bass",
            "control": {"rung": 3, "measured_sd_ms": 12.5},
            "circumstances": ["learners", "poor-footing"],
        },
        "clock": {"meet": "09:00:00", "tune_up": "09:30:00", "step_off": "10:00:00", "end": None},
        "items": [
            {"set_key": set_key, "text": "", "seconds": 0, "gap_after_s": 30, "start": "10:05:00"},
            {"set_key": "", "text": "Drums", "seconds": 90, "gap_after_s": 0, "start": None},
        ],
        "route": {
            "length_m": 900,
            "pace_m": 0.75,
            "steps_per_minute": 86,
            "asked_m_per_minute": None,
            "column_m": 32,
            "stretches": [
                {
                    "length_m": 600,
                    "slope": "level",
                    "name": "the mill lade",
                    "halt_s": 40,
                    "halt_is_silent": True,
                },
                {
                    "length_m": 300,
                    "slope": "up",
                    "name": "",
                    "halt_s": 0,
                    "halt_is_silent": False,
                },
            ],
            "places": [
                {"name": "the kirk", "wanted": "silent", "from_m": 100, "to_m": 180},
                {"name": "the stand", "wanted": "sounding", "from_m": 700, "to_m": None},
            ],
        },
        "arrangements": {
            "place": "Mill Lane",
            "dress": "day",
            "transport": "van",
            "contact": "the miller",
            "wet_plan": "capes",
            "hazards": "sluice",
            "stop_signal": "right hand down once",
        },
        "loudness": {"level_dba": 97.5, "where": "at the drums, in the hall"},
        "answers_by": "2031-05-31",
    }


def test_an_event_comes_back_as_it_was_given(client: TestClient) -> None:
    form = whole_form(a_set(client, a_tune(client)))
    key = client.post("/api/events", json=form).json()["key"]
    seen = client.get(f"/api/events/{key}").json()
    assert {name: seen[name] for name in form} == form


@pytest.mark.parametrize(
    ("occasion", "sort"),
    [
        ("parade", "own-band"),
        ("dance", "floor"),
        ("exhibition", "standing"),
        ("competition", "march-strathspey-reel"),
    ],
)
def test_an_occasion_without_a_sort_takes_its_usual_one(
    client: TestClient, occasion: str, sort: str
) -> None:
    key = an_event(client, occasion=occasion)
    assert client.get(f"/api/events/{key}").json()["setting"]["sort"] == sort


def test_events_are_listed_by_day_with_the_undated_last(client: TestClient) -> None:
    an_event(client, name="Undated")
    an_event(client, name="Later", day="2031-08-01")
    an_event(client, name="Earlier", day="2031-05-01")
    names = [event["name"] for event in client.get("/api/events").json()]
    assert names == ["Earlier", "Later", "Undated"]


def test_a_line_up_belongs_to_its_event_and_makes_a_new_version(client: TestClient) -> None:
    piper, drummer, tune = a_person(client), a_person(client, "Tove", "snare"), a_tune(client)
    key = an_event(client, a_set(client, tune))
    line_up = {
        "answers": [
            {"person_key": piper, "answer": "yes"},
            {"person_key": drummer, "answer": "maybe"},
        ],
        "outs": [[drummer, tune]],
        "harmony": [[piper, tune]],
    }
    answer = client.put(f"/api/events/{key}/line-up", json=line_up, headers=if_match(1))
    assert (answer.status_code, answer.headers["etag"]) == (200, '"2"')
    assert client.get(f"/api/events/{key}").json()["line_up"] == line_up


def test_a_line_up_can_be_changed_person_by_person(client: TestClient) -> None:
    people = [a_person(client, name) for name in ("Ada", "Bo", "Cy")]
    key = an_event(client)
    said = [{"person_key": person, "answer": "yes"} for person in people]
    client.put(f"/api/events/{key}/line-up", json={"answers": said}, headers=if_match(1))
    said = [{"person_key": people[0], "answer": "no"}, {"person_key": people[2], "answer": "yes"}]
    client.put(f"/api/events/{key}/line-up", json={"answers": said}, headers=if_match(2))
    assert client.get(f"/api/events/{key}").json()["line_up"]["answers"] == said


def test_changing_the_clock_leaves_the_line_up_alone(client: TestClient) -> None:
    form = whole_form(a_set(client, a_tune(client)))
    key = client.post("/api/events", json=form).json()["key"]
    line_up = {"answers": [{"person_key": a_person(client), "answer": "yes"}]}
    client.put(f"/api/events/{key}/line-up", json=line_up, headers=if_match(1))
    late = {**form, "clock": {**form["clock"], "step_off": "10:20:00"}}
    answer = client.put(f"/api/events/{key}", json=late, headers=if_match(2))
    assert answer.json()["clock"]["step_off"] == "10:20:00"
    assert answer.json()["line_up"]["answers"] == line_up["answers"]


def test_removing_an_event_leaves_sets_and_people(client: TestClient) -> None:
    person, set_key = a_person(client), a_set(client, a_tune(client))
    key = an_event(client, set_key)
    line_up = {"answers": [{"person_key": person, "answer": "yes"}]}
    client.put(f"/api/events/{key}/line-up", json=line_up, headers=if_match(1))
    assert client.delete(f"/api/events/{key}", headers=if_match(2)).status_code == 204
    assert client.get(f"/api/sets/{set_key}").status_code == 200
    assert client.delete(f"/api/people/{person}", headers=if_match(1)).status_code == 204
