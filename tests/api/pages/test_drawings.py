"""The drawings on the pages: named for those who hear them, and told in words beside."""

from __future__ import annotations

import re

import pytest
from fastapi.testclient import TestClient

from tests.api.library import a_set, a_tune, an_event


def figures(page: str) -> dict[str, str]:
    return dict(re.findall(r'<figure class="drawing" id="([^"]+)">(.*?)</figure>', page, re.S))


def test_the_day_is_drawn_on_the_page_of_its_event(demo: TestClient) -> None:
    drawn = figures(demo.get("/events/1").text)["timeline"]
    assert drawn.count('role="img"') == 2
    assert drawn.count('aria-label="The day as a line, to scale"') == 2
    assert "Meet 09:15, tune-up 09:45" in drawn


def test_the_route_is_drawn_where_there_is_one(demo: TestClient) -> None:
    drawn = figures(demo.get("/events/1").text)["route"]
    assert drawn.count('role="img"') == 2
    assert "The route is 1450 m long." in drawn
    assert "route" not in figures(demo.get("/events/2").text)


def test_a_set_is_drawn_as_it_runs(demo: TestClient) -> None:
    page = demo.get("/sets/3").text
    drawn = figures(page)["path"]
    assert drawn.count('role="img"') == 2
    assert all(title in drawn for title in re.findall(r"Tune \d: ([^<]+)</legend>", page))


def test_a_set_of_one_tune_has_no_drawing(client: TestClient) -> None:
    assert figures(client.get(f"/sets/{a_set(client, a_tune(client))}").text) == {}


def test_day_and_route_are_drawn_where_the_running_order_is_put_together(
    demo: TestClient,
) -> None:
    drawn = figures(demo.get("/events/1/order").text)
    assert list(drawn) == ["timeline", "route"]
    assert list(figures(demo.get("/events/2/order").text)) == ["timeline"]


def test_a_bar_is_drawn_as_it_is_played_at_the_event(demo: TestClient) -> None:
    drawn = figures(demo.get("/events/3/tunes/9?note=1/3/0/0").text)["bar"]
    assert drawn.count('aria-label="Part 1, bar 3, written and played"') == 2
    assert "Beat 1, low A: written from 0 ms for 482 ms" in drawn


def test_a_bar_is_drawn_on_another_occasion_too(demo: TestClient) -> None:
    page = demo.get("/events/3/tunes/9?on=exhibition:standing").text
    assert "bar" in figures(page)
    assert 'on=exhibition:standing#bar"' in page


def test_an_event_without_a_running_order_has_no_drawing(client: TestClient) -> None:
    assert figures(client.get(f"/events/{an_event(client)}").text) == {}


def test_a_name_of_a_set_cannot_become_markup(client: TestClient) -> None:
    made = a_set(client, a_tune(client), name="<b>Bold</b>")
    page = client.get(f"/events/{an_event(client, made)}").text
    assert "&lt;b&gt;Bold" in figures(page)["timeline"]
    assert "<b>Bold" not in page


@pytest.mark.parametrize("address", ["/style", "/events/1", "/sets/3", "/events/3/tunes/9"])
def test_every_pattern_has_an_id_of_its_own(demo: TestClient, address: str) -> None:
    ids = re.findall(r'\bid="([^"]+)"', demo.get(address).text)
    assert len(ids) == len(set(ids))
