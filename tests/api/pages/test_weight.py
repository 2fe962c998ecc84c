"""How much has to come through the air in a car park before an event can be read?"""

from __future__ import annotations

import re

import pytest
from fastapi.testclient import TestClient

MOST_BYTES = 60_000
"""The budget for the page of an event with all it is made of, compressed, fonts left out."""


def bytes_of(client: TestClient, address: str) -> int:
    """What an answer weighs on the wire."""
    answer = client.get(address, headers={"Accept-Encoding": "gzip"})
    assert answer.status_code == 200
    return answer.num_bytes_downloaded


def parts_of(page: str) -> set[str]:
    """Style sheets, scripts and icons of a page, without the fonts that it asks for early."""
    parts = set(re.findall(r'(?:href|src)="(/static/[^"]+)"', page))
    return {part for part in parts if not part.endswith(".woff2")}


@pytest.mark.parametrize("number", [1, 2, 3, 4])
def test_the_page_of_an_event_is_light(demo: TestClient, number: int) -> None:
    address = f"/events/{number}"
    page = demo.get(address)
    assert page.headers["content-encoding"] == "gzip"
    parts = parts_of(page.text)
    assert any(each.endswith("screen.css") for each in parts)
    assert any(each.endswith("htmx.min.js") for each in parts)
    weight = bytes_of(demo, address) + sum(bytes_of(demo, each) for each in parts)
    assert 10_000 < weight <= MOST_BYTES


def test_what_is_weighed_is_what_was_sent_compressed(demo: TestClient) -> None:
    plain = demo.get("/events/1", headers={"Accept-Encoding": "identity"})
    assert "content-encoding" not in plain.headers
    assert bytes_of(demo, "/events/1") < len(plain.content) / 3


def test_an_event_of_three_sets_is_seen_at_once_and_one_of_one_set_lies_open(
    demo: TestClient,
) -> None:
    long, short = demo.get("/events/1").text, demo.get("/events/4").text
    assert len(re.findall(r'<details class="fold set" id="item-\d">', long)) == 3
    assert '<details class="fold set" id="item-1" open>' in short


@pytest.mark.parametrize("number", [1, 2, 3, 4])
def test_the_contents_lead_to_every_part_of_the_page(demo: TestClient, number: int) -> None:
    page = demo.get(f"/events/{number}").text
    nav = re.findall(r'<nav class="contents".*?</nav>', page, re.DOTALL)[0]
    led_to = re.findall(r'href="#([a-z-]+)"', nav)
    parts = re.findall(r'<section id="([a-z-]+)"', page)
    assert sorted(led_to) == sorted(parts)
