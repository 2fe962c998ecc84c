"""The drum sergeant's page: strips of bars, and a word on every mark that is not strict."""

import re

from fastapi.testclient import TestClient


def first_form(page: str) -> dict[str, list[str]]:
    form = re.findall(r'<form method="post" action="/events/3/drums".*?</form>', page, re.DOTALL)[0]
    fields: dict[str, list[str]] = {}
    for name, value in re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', form):
        fields.setdefault(name, []).append(value)
    return fields


def test_a_parade_is_strict_from_end_to_end(demo: TestClient) -> None:
    page = demo.get("/events/1/drums").text
    assert "Strict tempo throughout." in page
    assert '<li class="bar follow">' not in page


def test_every_printed_bar_has_its_verdict(demo: TestClient) -> None:
    tunes = demo.get("/api/events/3/plan").json()["sets"][0]["entries"]
    bars = sum(len(entry["plan"]["drums"]["bars"]) for entry in tunes)
    assert demo.get("/events/3/drums").text.count('<li class="bar ') == bars


def test_only_what_is_not_strict_can_be_shown(demo: TestClient) -> None:
    page = demo.get("/events/3/drums?only=open").text
    assert '<li class="bar strict">' not in page
    assert '<li class="bar follow">' in page


def test_pipes_and_drums_agree_on_a_mark_by_name(demo: TestClient) -> None:
    page = demo.get("/events/3/drums").text
    waiting = page.count("to be agreed: ")
    fields = first_form(page) | {"who": ["Bram and Morna"], "word": ["agree"]}
    page = demo.post("/events/3/drums", data=fields).text
    assert "by Bram and Morna" in page
    assert page.count("to be agreed: ") < waiting


def test_a_mark_that_the_drums_refuse_is_remembered(demo: TestClient) -> None:
    fields = first_form(demo.get("/events/3/drums").text) | {"who": ["Bram"], "word": ["refuse"]}
    assert demo.post("/events/3/drums", data=fields).status_code == 200
    kept = demo.get("/api/events/3/choices").json()["agreements"]
    assert {(each["who"], each["is_agreed"]) for each in kept} == {("Bram", False)}


def test_nobody_agrees_without_a_name(demo: TestClient) -> None:
    page = demo.post("/events/3/drums", data=first_form(demo.get("/events/3/drums").text))
    assert page.status_code == 422
    assert "This is missing: fill it in." in page.text


def test_nobody_agrees_to_what_has_changed_meanwhile(demo: TestClient) -> None:
    fields = first_form(demo.get("/events/3/drums").text) | {"who": ["Bram"], "word": ["agree"]}
    demo.post("/events/3/drums", data=fields)
    page = demo.post("/events/3/drums", data=fields)
    assert page.status_code == 412
    assert "Somebody changed this meanwhile" in page.text
