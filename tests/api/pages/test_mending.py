"""What cannot be reckoned any more can still be opened, says why, and is mended on its own page."""

from __future__ import annotations

from html import unescape

import pytest
from fastapi.testclient import TestClient

from tests.api.library import ANY, a_set, an_event
from tests.api.pages.form_reader import fields_of

ROUTE = {"length_m": 900, "pace_m": 0.7, "steps_per_minute": 90}
WHY = "has no part 3"


@pytest.fixture
def broken(client: TestClient) -> TestClient:
    """A set asks for part 3 of a tune that has lost it since, and a parade plays the set."""
    said = {"title": "On paper", "outline": {"metre": "2/4", "parts": [[8, 2]] * 3}}
    tune = client.post("/api/tunes", json=said).json()["key"]
    entries = [{"tune_key": tune, "parts": [3]}, {"tune_key": tune}]
    an_event(client, a_set(client, entries=entries), route=ROUTE)
    shorter = {**said, "outline": {"metre": "2/4", "parts": [[8, 2]]}}
    assert client.put(f"/api/tunes/{tune}", json=shorter, headers=ANY).is_success
    return client


@pytest.mark.parametrize("address", ["/", "/sets/1", "/events/1", "/events/1/order"])
def test_the_page_opens_and_says_why(broken: TestClient, address: str) -> None:
    page = broken.get(address)
    assert page.status_code == 200
    assert WHY in unescape(page.text)


@pytest.mark.parametrize(
    "address", ["/sets", "/events/1/edit", "/events/1/day", "/events/1/line-up"]
)
def test_the_pages_around_it_open(broken: TestClient, address: str) -> None:
    assert broken.get(address).status_code == 200


def test_the_set_is_mended_on_its_page_and_the_event_is_planned_again(broken: TestClient) -> None:
    fields = fields_of(broken.get("/sets/1").text, within="/sets/1")
    page = broken.post("/sets/1", data=fields | {"entries.0.parts": [""]})
    assert page.status_code == 200
    assert WHY not in unescape(page.text)
    assert 'id="order"' in broken.get("/events/1").text


def test_an_event_that_cannot_be_planned_leads_to_where_it_is_mended(broken: TestClient) -> None:
    page = broken.get("/events/1").text
    for link in ("/events/1/order", "/events/1/edit", "/events/1/line-up"):
        assert f'href="{link}"' in page
    gone = broken.post("/events/1/delete", data=fields_of(page, within="/events/1/delete"))
    assert gone.url.path == "/events"
