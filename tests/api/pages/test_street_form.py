"""The street in the form of an event, without a script."""

from fastapi.testclient import TestClient

from tests.api.pages.form_reader import fields_of

STRETCH, PLACE = "route.stretches.0", "route.places.0"


def test_a_row_of_the_street_is_added_and_filled_in(demo: TestClient) -> None:
    fields = fields_of(demo.get("/events/2/edit").text)
    before = demo.get("/api/events/2").json()
    page = demo.post("/events/2/edit", data=fields | {"do_stretches": ["add"]})
    page = demo.post("/events/2/edit", data=fields_of(page.text) | {"do_places": ["add"]})
    assert demo.get("/api/events/2").json() == before, "an empty row stores nothing"
    fields = fields_of(page.text)
    fields |= {
        "route.pace_m": ["0.75"], "route.steps_per_minute": ["84"],
        f"{STRETCH}.length_m": ["600"], f"{STRETCH}.slope": ["up"], f"{STRETCH}.halt_s": ["45"],
        f"{STRETCH}.halt_is_silent": ["true"], f"{STRETCH}.name": ["the slip"],
        f"{PLACE}.name": ["the kirk"], f"{PLACE}.from_m": ["100"], f"{PLACE}.wanted": ["silent"],
    }  # fmt: skip
    assert demo.post("/events/2/edit", data=fields).url.path == "/events/2"
    route = demo.get("/api/events/2").json()["route"]
    assert route["length_m"] == 600
    assert route["stretches"] == [
        {"length_m": 600, "slope": "up", "name": "the slip", "halt_s": 45, "halt_is_silent": True}
    ]
    assert route["places"] == [
        {"name": "the kirk", "wanted": "silent", "from_m": 100, "to_m": None}
    ]


def test_rows_that_stay_empty_are_no_street(demo: TestClient) -> None:
    fields = fields_of(demo.get("/events/2/edit").text)
    page = demo.post("/events/2/edit", data=fields | {"do_stretches": ["add"]})
    page = demo.post("/events/2/edit", data=fields_of(page.text))
    assert page.url.path == "/events/2"
    assert demo.get("/api/events/2").json()["route"] is None


def test_stretches_are_put_in_order_and_taken_out_with_buttons(demo: TestClient) -> None:
    fields = fields_of(demo.get("/events/1/edit").text)
    page = demo.post("/events/1/edit", data=fields | {"do_stretches": ["down 0"]})
    page = demo.post("/events/1/edit", data=fields_of(page.text) | {"do_stretches": ["remove 3"]})
    page = demo.post("/events/1/edit", data=fields_of(page.text) | {"do_places": ["remove 0"]})
    assert demo.post("/events/1/edit", data=fields_of(page.text)).status_code == 200
    route = demo.get("/api/events/1").json()["route"]
    assert [each["name"] for each in route["stretches"]] == [
        "Skelder Row", "the quay", "Lantern Street",
    ]  # fmt: skip
    assert route["length_m"] == 790
    assert [each["name"] for each in route["places"]] == ["the lamp lighters' stand"]


def test_a_button_of_a_new_event_keeps_what_was_typed(demo: TestClient) -> None:
    fields = fields_of(demo.get("/events/new").text) | {"name": ["Quay <day>"]}
    page = demo.post("/events/new", data=fields | {"do_places": ["add"]})
    assert fields_of(page.text)["name"] == ["Quay <day>"]
    assert f'name="{PLACE}.name"' in page.text


def test_a_stretch_of_zero_is_said_beside_its_field_and_the_rest_is_kept(demo: TestClient) -> None:
    fields = fields_of(demo.get("/events/1/edit").text)
    fields |= {f"{STRETCH}.length_m": ["0"], f"{STRETCH}.name": ["the <slip>"]}
    page = demo.post("/events/1/edit", data=fields)
    assert page.status_code == 422
    assert f'id="{STRETCH}.length_m-fault"' in page.text
    assert "Must be more than 0" in page.text or "This must be more than 0" in page.text
    assert fields_of(page.text)[f"{STRETCH}.name"] == ["the <slip>"]


def test_a_place_beyond_the_route_is_said_above_the_places(demo: TestClient) -> None:
    before = demo.get("/api/events/1").json()
    fields = fields_of(demo.get("/events/1/edit").text) | {f"{PLACE}.to_m": ["1500"]}
    page = demo.post("/events/1/edit", data=fields)
    assert page.status_code == 422
    assert 'id="route.places-fault"' in page.text
    assert "The route ends at 1450 m, before the almshouses at 1500 m" in page.text
    assert demo.get("/api/events/1").json() == before


def test_a_fixed_start_survives_the_form(demo: TestClient) -> None:
    fields = fields_of(demo.get("/events/1/order").text) | {"items.1.start": ["10:36"]}
    demo.post("/events/1/order", data=fields)
    assert demo.get("/api/events/1").json()["items"][1]["start"] == "10:36:00"
    demo.post("/events/1/edit", data=fields_of(demo.get("/events/1/edit").text))
    assert demo.get("/api/events/1").json()["items"][1]["start"] == "10:36:00"
