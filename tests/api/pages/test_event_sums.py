"""The sums of an event over HTTP and on its page."""

import pytest
from fastapi.testclient import TestClient

from tests.api.library import a_set, a_tune, an_event

ROUTE = {"length_m": 1450, "pace_m": 0.762, "steps_per_minute": 86}


def test_the_sums_of_a_bare_event_are_null_where_they_do_not_apply(client: TestClient) -> None:
    event = an_event(client, a_set(client, a_tune(client)))
    sums = client.get(f"/api/events/{event}/sums").json()
    assert (sums["street"], sums["sound"]) == (None, None)
    assert sums["sets"][0]["contest"] is None
    assert "local rules" in sums["cautions"]["hearing"]


def test_the_street_is_in_the_sums_and_on_the_page(client: TestClient) -> None:
    route = {**ROUTE, "column_m": 20}
    event = an_event(client, a_set(client, a_tune(client)), route=route)
    street = client.get(f"/api/events/{event}/sums").json()["street"]
    assert street["metres_per_minute"] == pytest.approx(65.532)
    assert street["walking_minutes"] == pytest.approx(1450 / 65.532, abs=0.001)
    page = client.get(f"/events/{event}").text
    assert "take 22 min 8 s, 65.5 m a minute." in page
    assert "the front rank is heard 58 ms late" in page


def test_a_level_is_asked_of_the_band_and_never_assumed(client: TestClient) -> None:
    event = an_event(client, a_set(client, a_tune(client)))
    assert "daily value" not in client.get(f"/events/{event}").text
    said = {"level_dba": 94, "where": "in the ranks"}
    event = an_event(client, a_set(client, a_tune(client), number=2), loudness=said)
    page = client.get(f"/events/{event}").text
    assert "At 94 dB(A) the sound reaches the daily value after 60 min (measured in the" in page
    assert "Use a measured average level, never a maximum from the press." in page


@pytest.mark.parametrize("level", [0, -3, 29, 141])
def test_a_level_that_cannot_be_an_average_is_refused(client: TestClient, level: float) -> None:
    form = {"name": "Loud", "setting": {"occasion": "parade"}, "loudness": {"level_dba": level}}
    assert client.post("/api/events", json=form).status_code == 422
    assert client.get("/api/events").json() == []


def test_a_contest_shows_window_margins_and_whose_rules(client: TestClient) -> None:
    entered = a_set(client, a_tune(client), ruleset="rspba-2026-grade-2-medley")
    event = an_event(client, entered, occasion="competition")
    times = client.get(f"/api/events/{event}/sums").json()["sets"][0]["contest"]["times"]
    assert {name: each["verdict"] for name, each in times.items()} == dict.fromkeys(
        ("slower", "planned", "quicker"), "under"
    )
    page = client.get(f"/events/{event}").text
    assert "nerves slow it by 3 %" in page
    assert "4:00 to 6:00" in page
    assert "Confirm with your own body&#39;s current rules." in page


def test_neighbours_are_judged_with_reasons(demo: TestClient) -> None:
    joins = demo.get("/api/events/3/sums").json()["sets"][0]["joins"]
    assert all(join["smoothness"] == "smooth" or join["reasons"] for join in joins)
    assert "<h2>Joins</h2>" in demo.get("/events/3").text


def test_the_demo_dance_shows_steps_bars_and_seconds(demo: TestClient) -> None:
    sums = demo.get("/api/events/4/sums").json()
    danced = [each["dance"] for each in sums["sets"] if each["dance"]]
    assert danced
    assert all(each["bars"] and each["seconds"] for each in danced)
    assert "At the tolerance" in demo.get("/events/4").text


def test_every_item_has_its_times_as_planned_and_with_nerves(client: TestClient) -> None:
    key = a_set(client, a_tune(client))
    items = [{"set_key": key, "gap_after_s": 30}, {"text": "Speech", "seconds": 60}]
    clock = {"step_off": "10:30"}
    event = an_event(client, items=items, clock=clock)
    times = client.get(f"/api/events/{event}/sums").json()["times"]
    one, speech = times["items"]
    parts = one["introduction_seconds"] + one["joins_seconds"] + one["tunes"][0]["seconds"]
    assert one["seconds"] == pytest.approx(parts, abs=0.001)
    assert one["seconds_slower"] == pytest.approx(one["seconds"] / 0.97, abs=0.001)
    assert (speech["seconds_slower"], speech["seconds_quicker"]) == (60, 60)
    assert times["seconds"] == pytest.approx(one["seconds"] + 30 + 60, abs=0.001)
    # 8 beats of rolls and 32 of tune at 84 last 28.571 s, then 30 s of gap and 60 s of speech
    assert times["ends"]["planned"] == "10:31:58.571"
    page = client.get(f"/events/{event}").text
    assert "3 % slower" in page
    assert "over at 10:31:58" in page
