"""Amounts nobody can reckon with: one sentence that names the place, and nothing is stored."""

from typing import Any

import pytest
from fastapi.testclient import TestClient

from tests.api.library import a_set, a_tune, an_event, if_match, stored

PARADE = {"name": "A", "setting": {"occasion": "parade"}}
DANCED = {"number": 9, "name": "A"}
ROUTE = {"length_m": 600, "pace_m": 0.762, "steps_per_minute": 86}
RULES = {
    "body": "A", "year": 2027, "grade": "4", "element": "medley", "shortest": 300, "longest": 200,
    "set_by": "Morna",
}  # fmt: skip


@pytest.mark.parametrize(
    ("noun", "form", "place"),
    [
        ("events", {**PARADE, "items": [{"text": "x", "seconds": -5}]}, "items.0.seconds"),
        (
            "events",
            {**PARADE, "items": [{"set_key": "1", "gap_after_s": -1}]},
            "items.0.gap_after_s",
        ),
        ("events", {**PARADE, "route": {**ROUTE, "length_m": -100}}, "route.length_m"),
        ("events", {**PARADE, "route": {**ROUTE, "pace_m": -0.76}}, "route.pace_m"),
        ("events", {**PARADE, "route": {**ROUTE, "steps_per_minute": 0}}, "route.steps_per_minute"),
        ("events", {**PARADE, "route": {**ROUTE, "column_m": -3}}, "route.column_m"),
        (
            "events",
            {**PARADE, "items": [{"set_key": "1"}], "route": {**ROUTE, "length_m": 10}},
            "route.length_m",
        ),
        (
            "events",
            {**PARADE, "day": "2031-06-07", "clock": {"step_off": "10:00", "end": "11:00"}},
            "clock",
        ),
        ("sets", {**DANCED, "entries": [{"tune_key": "1", "tempo_bpm": 0}]}, "entries.0.tempo_bpm"),
        (
            "sets",
            {**DANCED, "entries": [{"tune_key": "1", "pause_after_s": -1}]},
            "entries.0.pause_after_s",
        ),
        (
            "sets",
            {**DANCED, "entries": [{"tune_key": "1", "times_through": -1}]},
            "entries.0.times_through",
        ),
        ("sets", {**DANCED, "introduction_beats": -1}, "introduction_beats"),
        ("sets", {**DANCED, "dance": "highland-fling", "steps": [-4]}, "steps.0"),
        ("sets", {**DANCED, "bars_per_step": 0}, "bars_per_step"),
        ("contest-rules/own", RULES, "shortest"),
        ("contest-rules/own", {**RULES, "shortest": -3}, "shortest"),
    ],
)  # fmt: skip
def test_it_is_refused_in_one_sentence_and_nothing_is_stored(
    client: TestClient, noun: str, form: dict[str, Any], place: str
) -> None:
    clock = {"meet": "09:00", "end": "10:30"}
    an_event(client, a_set(client, a_tune(client)), day="2031-06-07", clock=clock)
    before = stored(client)
    refused = client.post(f"/api/{noun}", json=form)
    assert refused.status_code == 422
    told = refused.json()
    assert told["detail"].startswith(f"{place}: ")
    assert told["detail"].endswith(".")
    assert "\n" not in told["detail"]
    assert stored(client) == before
    assert client.get("/api/contest-rules/own").json() == []


def test_a_window_that_would_be_closed_is_refused_also_for_a_value_of_the_book(
    client: TestClient,
) -> None:
    # RSPBA as reported on 10 Mar 2026: Grade 2, one medley of 4 to 6 minutes
    key = "/api/rules/contests.rspba_2026.grade_2.medley.shortest"
    refused = client.put(key, json={"value": 400, "set_by": "Morna"}, headers=if_match(0))
    assert refused.status_code == 422
    assert "the shortest time, 400 s, is longer than the longest, 360 s" in refused.json()["detail"]
    assert client.get(key).json()["value"] == 240
