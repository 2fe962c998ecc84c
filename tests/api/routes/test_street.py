"""The street over HTTP: given and read back, refused in one sentence, carried along."""

from pathlib import Path
from typing import Any

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from api.actions.library import export_library, import_library
from api.settings import Settings
from api.storage.library import open_library
from tests.api.library import ANY, AT_THIS_MACHINE, a_set, a_tune, an_event, if_match, stored

ROUTE: dict[str, Any] = {"pace_m": 0.75, "steps_per_minute": 84}
CLOCK = {"meet": "09:00", "step_off": "10:00", "end": "11:00"}


def a_place(name: str = "the kirk", **more: Any) -> dict[str, Any]:
    return {"name": name, "wanted": "silent", "from_m": 10, "to_m": 20, **more}


def post(client: TestClient, **more: Any) -> Any:
    form = {"name": "Mill Day", "setting": {"occasion": "parade"}, **more}
    return client.post("/api/events", json=form)


def test_stretches_alone_give_the_length(client: TestClient) -> None:
    stretches = [{"length_m": 400.5}, {"length_m": 200, "slope": "down", "halt_s": 30}]
    route = post(client, route={**ROUTE, "stretches": stretches}).json()["route"]
    assert route["length_m"] == 600.5
    assert route["stretches"][1] == {
        "length_m": 200, "slope": "down", "name": "", "halt_s": 30, "halt_is_silent": False,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("route", "field", "words"),
    [
        ({}, "route", "give the length of the route, or its stretches"),
        ({"length_m": -900}, "route.length_m", "greater than 0"),
        ({"stretches": [{"length_m": 0}]}, "route.stretches.0.length_m", "greater than 0"),
        ({"stretches": [{"length_m": -3}]}, "route.stretches.0.length_m", "greater than 0"),
        ({"stretches": [{"length_m": "NaN"}]}, "route.stretches.0.length_m", "50000"),
        (
            {"stretches": [{"length_m": 9, "slope": "steep"}]},
            "route.stretches.0.slope",
            "'level', 'up' or 'down'",
        ),
        ({"stretches": [{"length_m": 9, "halt_s": -1}]}, "route.stretches.0.halt_s", "or equal"),
        (
            {"length_m": 900, "stretches": [{"length_m": 400}, {"length_m": 499}]},
            "route.stretches",
            "they add up to 899 m, the route is 900 m",
        ),
        (
            {"length_m": 900, "places": [a_place(to_m=901)]},
            "route.places",
            "the route ends at 900 m, before the kirk at 901 m",
        ),
        (
            {"length_m": 900, "places": [a_place(to_m=5)]},
            "route.places",
            "10 to 5 m for the kirk runs backwards",
        ),
        ({"length_m": 900, "places": [a_place(from_m=-1)]}, "route.places.0.from_m", "or equal"),
        ({"length_m": 900, "places": [a_place("")]}, "route.places.0.name", "at least 1"),
        (
            {"length_m": 900, "places": [a_place(wanted="loud")]},
            "route.places.0.wanted",
            "'sounding' or 'silent'",
        ),
    ],
)
def test_a_route_that_makes_no_sense_names_the_place_and_stores_nothing(
    client: TestClient, route: dict[str, Any], field: str, words: str
) -> None:
    answer = post(client, route={**ROUTE, **route})
    assert answer.status_code == 422
    (error,) = answer.json()["errors"]
    assert error["field"] == field
    assert words in error["detail"]
    assert error["detail"].endswith(".")
    assert "\n" not in error["detail"]
    assert stored(client)["events"] == 0


def test_a_route_shorter_than_one_set_is_refused_and_stores_nothing(client: TestClient) -> None:
    # 8 beats of rolls and 16 bars of two beats: 40 paces of 0.75 m are 30 m
    items = [{"set_key": a_set(client, a_tune(client))}]
    answer = post(client, items=items, route={**ROUTE, "length_m": 29})
    assert answer.status_code == 422
    assert (
        "29 m are over before “Set 1” has been played once, which needs 30 m"
        in (answer.json()["detail"])
    )
    assert stored(client)["events"] == 0
    assert post(client, items=items, route={**ROUTE, "length_m": 30}).status_code == 201


def test_a_set_that_may_stop_at_any_part_fits_every_route(client: TestClient) -> None:
    until_cue = [{"tune_key": a_tune(client), "times_through": 0}]
    items = [{"set_key": a_set(client, entries=until_cue)}]
    assert post(client, items=items, route={**ROUTE, "length_m": 20}).status_code == 201


def test_on_the_day_a_set_may_be_dropped_although_the_rest_is_too_long(client: TestClient) -> None:
    short = a_set(client, a_tune(client))
    long = a_set(client, *(a_tune(client, f"March {at}") for at in range(4)), number=2)
    route = {**ROUTE, "length_m": 60}
    event = an_event(client, short, long, route=route, clock=CLOCK)
    answer = client.post(f"/api/events/{event}/day", json={"drop_item": 1}, headers=if_match(1))
    assert answer.status_code == 200
    found = client.get(f"/api/events/{event}/plan").json()["findings"]
    text = next(each["text"] for each in found if each["code"] == "route_too_short")
    assert text == "once through it covers 102 m, the whole route is 60 m."


def test_a_slot_is_not_moved_into_another_event(client: TestClient) -> None:
    event = an_event(client, day="2031-06-07", clock=CLOCK)
    later = {"meet": "11:30", "step_off": "12:00", "end": "13:00"}
    an_event(client, name="Evening", day="2031-06-07", clock=later)
    moved = client.post(f"/api/events/{event}/day", json={"move_minutes": 31}, headers=if_match(1))
    assert moved.status_code == 422
    assert "it overlaps “Evening”, 11:30 to 13:00" in moved.json()["detail"]
    assert client.get(f"/api/events/{event}").json()["version"] == 1
    moved = client.post(f"/api/events/{event}/day", json={"move_minutes": 30}, headers=if_match(1))
    assert moved.status_code == 200


def test_an_event_is_not_changed_into_another_one(client: TestClient) -> None:
    form = {"name": "Mill Day", "setting": {"occasion": "parade"}, "clock": CLOCK}
    event = an_event(client, day="2031-06-07", clock=CLOCK)
    an_event(client, name="Evening", day="2031-06-08", clock=CLOCK)
    answer = client.put(f"/api/events/{event}", json={**form, "day": "2031-06-08"}, headers=ANY)
    assert answer.status_code == 422
    assert "it overlaps “Evening”" in answer.json()["detail"]
    assert client.get(f"/api/events/{event}").json()["day"] == "2031-06-07"


def test_an_event_past_midnight_overlaps_the_next_day(client: TestClient) -> None:
    an_event(client, name="Ball", day="2031-06-07", clock={"meet": "21:00", "end": "01:30"})
    answer = post(client, day="2031-06-08", clock={"meet": "01:00", "end": "02:00"})
    assert answer.status_code == 422
    assert "it overlaps “Ball”, 21:00 to 01:30" in answer.json()["detail"]


def test_an_event_without_an_end_overlaps_where_it_is_known_to_be(client: TestClient) -> None:
    an_event(client, name="Gala", day="2031-06-07", clock={"meet": "09:00", "step_off": "10:30"})
    answer = post(client, day="2031-06-07", clock={"step_off": "10:00", "end": "10:20"})
    assert answer.status_code == 422
    assert "it overlaps “Gala”, 09:00 to 10:30" in answer.json()["detail"]


def test_a_route_goes_through_export_and_import_unchanged(
    app: FastAPI, client: TestClient, settings: Settings, tmp_path: Path
) -> None:
    stretches = [{"length_m": 400, "name": "the lade", "halt_s": 20, "halt_is_silent": True}]
    stretches += [{"length_m": 200, "slope": "up"}]
    route = {**ROUTE, "column_m": 15, "stretches": stretches, "places": [a_place()]}
    event = an_event(client, a_set(client, a_tune(client)), route=route)
    before = client.get(f"/api/events/{event}").json()
    out = open_library(settings.address_of_database, settings.band_name)
    content = export_library(out)
    out.close()
    other = Settings(data_dir=tmp_path / "other", database_url="", band_name="Other")
    into = open_library(other.address_of_database, other.band_name)
    import_library(into, content, replace=False)
    into.close()
    app.state.settings = other
    with TestClient(app, base_url="http://127.0.0.1:8000", client=AT_THIS_MACHINE) as again:
        assert again.get(f"/api/events/{event}").json() == before
