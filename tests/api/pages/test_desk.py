"""The desk: the way in, and what comes next."""

import re
from html import unescape
from typing import Any

from fastapi.testclient import TestClient

from tests.api.library import a_person, a_set, a_tune, an_event, if_match, march, upload


def test_an_empty_library_leads_to_the_first_tune_and_to_the_demo_band(client: TestClient) -> None:
    page = client.get("/")
    assert page.status_code == 200
    assert 'href="/tunes/new"' in page.text
    assert '<form method="post" action="/demo">' in page.text


def test_the_demo_band_moves_in_at_the_press_of_a_button(client: TestClient) -> None:
    page = client.post("/demo")
    assert page.url.path == "/"
    assert "The demo band has moved in" in page.text
    assert "Lamp Day street parade" in page.text


def test_the_demo_band_moves_in_once_only(demo: TestClient) -> None:
    demo.post("/demo")
    assert len(demo.get("/api/events").json()) == 4


def test_the_desk_says_what_is_not_ready_and_where_to_mend_it(demo: TestClient) -> None:
    page = demo.get("/").text
    assert "wait for the leading drummer&#39;s word" in page
    assert 'href="/events/2/drums?only=open"' in page


def not_ready(page: str) -> dict[str, str]:
    """What is not ready, by the address of the page that mends it."""
    lines = re.findall(r"<p>((?:(?!</p>).)*?) <a href=\"([^\"]+)\">[^<]+</a></p></li>", page, re.S)
    return {address: unescape(re.sub(r"<[^>]+>", "", text)) for text, address in lines}


def desk_of(client: TestClient) -> dict[str, str]:
    return not_ready(client.get("/").text)


def ahead(client: TestClient, *sets: str, **more: Any) -> str:
    """An event far ahead, with all its times and somebody who plays."""
    clock = {"meet": "13:00", "tune_up": "13:30", "step_off": "14:00", "end": "15:00"}
    event = an_event(client, *sets, **{"day": "2199-06-19", "clock": clock, **more})
    player = a_person(client, "Perrin Oxgate" if event == "1" else f"Player {event}")
    line_up = {"answers": [{"person_key": player, "answer": "yes"}]}
    client.put(f"/api/events/{event}/line-up", json=line_up, headers=if_match(1))
    return event


def allowed(client: TestClient, title: str = "The Wicker Gate") -> str:
    """A tune whose setting may be copied."""
    made = upload(client, march(title), permission="Our own.")
    return str(made.json()[0]["key"])


def test_an_event_without_anything_against_it_is_ready_to_print(client: TestClient) -> None:
    ahead(client, a_set(client, allowed(client)))
    page = client.get("/").text
    assert "Ready to print." in page
    assert not_ready(page) == {}


def test_a_missing_permission_leads_to_its_tune(client: TestClient) -> None:
    ahead(client, a_set(client, a_tune(client)))
    said = desk_of(client)["/tunes/1/edit"]
    assert "The Wicker Gate: " in said
    assert "no permission to copy this setting is noted" in said.lower()


def test_a_player_who_cannot_play_it_leads_to_the_line_up(client: TestClient) -> None:
    event = ahead(client, a_set(client, allowed(client)))
    client.put("/api/people/1/readiness", json={"levels": {"1": "chanter"}}, headers=if_match(1))
    said = desk_of(client)[f"/events/{event}/line-up"]
    assert "Perrin Oxgate is asked for “The Wicker Gate” (on pipes, marching)" in said


def test_a_running_order_over_its_time_leads_to_the_running_order(client: TestClient) -> None:
    clock = {"meet": "13:00", "tune_up": "13:30", "step_off": "14:00", "end": "14:00:20"}
    event = ahead(client, a_set(client, allowed(client)), clock=clock)
    assert "the event ends at 14:00" in desk_of(client)[f"/events/{event}/order"]


def test_a_conflict_leads_to_the_set_that_makes_it(client: TestClient) -> None:
    """Mixed metres in a massed set: refused in the street, as the trade has it."""
    jig = march("Jig").replace(b"2/4", b"6/8").replace(b"1/4=84", b"3/8=84")
    bars = b"{g}A3 {g}B3|{g}c3 {g}d3|{g}e3 {g}f3|{g}e3 {g}A3"
    jig = jig.split(b"|:")[0] + b"|:" + bars + b":|\n"
    other = str(upload(client, jig, permission="Our own.").json()[0]["key"])
    mixed = a_set(client, allowed(client), other)
    form = {"occasion": "parade", "sort": "massed"}
    ahead(client, mixed, setting=form)
    assert "one time signature" in desk_of(client)[f"/sets/{mixed}"]


def test_an_event_that_cannot_be_planned_does_not_hide_the_others(client: TestClient) -> None:
    ahead(client, a_set(client, allowed(client)), name="The good one")
    said = {"title": "On paper", "outline": {"metre": "2/4", "parts": [[8, 2]] * 3}}
    scan = client.post("/api/tunes", json=said).json()["key"]
    bad = a_set(client, number=2, entries=[{"tune_key": scan, "parts": [3]}])
    ahead(client, bad, name="The bad one", day="2199-06-20")
    shorter = {**said, "outline": {"metre": "2/4", "parts": [[8, 2]]}}
    assert client.put(f"/api/tunes/{scan}", json=shorter, headers={"If-Match": "*"}).is_success
    page = client.get("/")
    assert page.status_code == 200
    assert "The good one" in page.text
    assert "The bad one" in page.text
    assert "has no part 3" in desk_of(client)["/events/2/order"]


def test_what_is_not_ready_beyond_the_first_few_is_folded(client: TestClient) -> None:
    tunes = [allowed(client, f"Tune {number}") for number in range(7)]
    ahead(client, a_set(client, *tunes))
    levels = {"levels": dict.fromkeys(tunes, "chanter")}
    client.put("/api/people/1/readiness", json=levels, headers=if_match(1))
    page = client.get("/").text
    assert "<summary>3 more</summary>" in page
    assert page.count("is asked for") == 7


def test_many_permissions_that_are_missing_are_one_line(client: TestClient) -> None:
    tunes = [a_tune(client, f"Tune {number}") for number in range(7)]
    ahead(client, a_set(client, *tunes))
    said = desk_of(client)["/tunes"]
    assert "“Tune 0”, “Tune 1”, “Tune 2” and 4 more" in said


def test_who_is_out_is_told_and_keeps_nothing_from_being_printed(client: TestClient) -> None:
    one, other = allowed(client), allowed(client, "Another")
    event = ahead(client, a_set(client, one, other))
    second = a_person(client, "Wil Tarn")
    answers = [{"person_key": key, "answer": "yes"} for key in ("1", second)]
    line_up = {"answers": answers, "outs": [[second, one], [second, other]]}
    client.put(f"/api/events/{event}/line-up", json=line_up, headers={"If-Match": "*"})
    page = client.get("/").text
    assert "Wil Tarn is out of 2 tunes." in not_ready(page)[f"/events/{event}/line-up"]
    assert "Ready to print." in page


def test_a_tune_that_every_piper_is_out_of_is_not_ready(client: TestClient) -> None:
    tune = allowed(client)
    event = ahead(client, a_set(client, tune))
    line_up = {"answers": [{"person_key": "1", "answer": "yes"}], "outs": [["1", tune]]}
    client.put(f"/api/events/{event}/line-up", json=line_up, headers={"If-Match": "*"})
    page = client.get("/").text
    assert "Every piper is out of this tune." in page
    assert "Ready to print." not in page
