"""A running order is put together without a script: moved, added to, taken from, and undone."""

from __future__ import annotations

import html
import re
from typing import Any

import pytest
from fastapi.testclient import TestClient

from tests.api.library import a_set, a_tune, an_event
from tests.api.pages.form_reader import fields_of

PAGE = "/events/1/order"


def press(client: TestClient, button: str, page: str = PAGE, **typed: str) -> Any:
    fields = fields_of(client.get(page).text, within=page)
    return client.post(page, data={**fields, "do": [button], **{k: [v] for k, v in typed.items()}})


def names(page: str) -> list[str]:
    found = re.findall(r"<h3>(.*?)</h3>", page)
    return [html.unescape(re.sub(r"<[^>]+>", "", each)) for each in found]


def facts(page: str) -> list[str]:
    found = re.findall(r'<p class="facts" id="facts-\d+" data-live>(.*?)</p>', page)
    return [html.unescape(re.sub(r"<[^>]+>", "", each)) for each in found]


def items(client: TestClient, event: int = 1) -> Any:
    return client.get(f"/api/events/{event}").json()["items"]


def three_sets(client: TestClient, **more: Any) -> None:
    """Three sets of one tune each: 8 bars of 2/4, repeated, at 84."""
    keys = [a_set(client, a_tune(client, f"March {n}"), number=n) for n in (1, 2, 3)]
    an_event(client, *keys, **more)


def test_moving_an_item_moves_every_time_with_it(client: TestClient) -> None:
    """Independent sum: 8 bars of two beats played twice and eight beats of introduction (common
    practice) are 40 beats, at 84 a minute 28.6 s; then 30 s of rest."""
    three_sets(client, clock={"step_off": "14:00"})
    press(client, "", **{"items.0.gap_after_s": "30"})
    before = facts(client.get(PAGE).text)
    assert before[0].startswith("14:00, 29 s")
    page = press(client, "down 0").text
    assert names(page)[:2] == ["2 Set 2", "1 Set 1"]
    assert facts(page)[2].startswith("14:01"), facts(page)


def test_up_down_move_and_take_out(client: TestClient) -> None:
    three_sets(client)
    assert names(press(client, "up 2").text) == ["1 Set 1", "3 Set 3", "2 Set 2"]
    assert names(press(client, "move 2 0").text) == ["2 Set 2", "1 Set 1", "3 Set 3"]
    assert names(press(client, "remove 1").text) == ["2 Set 2", "3 Set 3"]


def having(client: TestClient, title: str) -> list[str]:
    """The sets with such a tune in them, as the service's own JSON tells."""
    keys = [tune["key"] for tune in client.get("/api/tunes").json() if title in tune["title"]]
    sets = client.get("/api/sets").json()
    return [
        f"{each['number']} {each['name']}"
        for each in sets
        if any(entry["tune_key"] in keys for entry in each["entries"])
    ]


def test_a_set_is_found_by_its_name_its_number_and_a_tune_in_it(demo: TestClient) -> None:
    def found(words: str) -> list[str]:
        page = press(demo, "look", words=words).text
        return re.findall(r'<li><span class="name">([^<]+)</span>', page)

    everything = found("")
    assert len(everything) == 6
    assert found("skelder") == having(demo, "Skelder")
    name = html.unescape(everything[3]).split(" ", 1)[1].split()[0]
    assert everything[3] in found(name.upper())
    assert everything[4] in found("5")
    assert found("nowhere to be found") == []


def test_a_set_or_words_are_added_at_the_end(client: TestClient) -> None:
    three_sets(client)
    key = items(client)[0]["set_key"]
    assert names(press(client, f"add {key}").text)[-1] == "1 Set 1"
    assert names(press(client, "add", add_text="Drums only").text)[-1] == "Drums only"
    assert names(press(client, "", add_text="A <speech>").text)[-1] == "A <speech>"
    assert len(items(client)) == 6


def test_undo_goes_back_step_by_step(client: TestClient) -> None:
    three_sets(client, clock={"step_off": "14:00"})
    press(client, "", **{"items.1.start": "14:30"})
    before = items(client)
    press(client, "remove 1")
    page = press(client, "down 0").text
    assert "Undo the change of order" in page
    page = press(client, "undo").text
    assert "Undo taking out “Set 2”" in html.unescape(page)
    press(client, "undo")
    assert items(client) == before
    press(client, "undo")
    assert items(client)[1]["start"] is None
    assert 'value="undo"' not in client.get(PAGE).text


def test_a_length_that_is_none_is_said_beside_its_field_and_nothing_is_lost(
    client: TestClient,
) -> None:
    three_sets(client)
    page = press(client, "down 0", **{"items.1.gap_after_s": "soon", "add_text": "Later"})
    assert page.status_code == 422
    assert 'id="items.0.gap_after_s-fault"' in page.text
    assert fields_of(page.text)["items.0.gap_after_s"] == ["soon"]
    assert fields_of(page.text)["add_text"] == ["Later"]
    assert names(page.text)[0] == "2 Set 2"
    assert items(client)[0]["set_key"] == "1"


def test_the_head_says_how_much_time_is_left_or_lacking(client: TestClient) -> None:
    """Independent sum: three sets of 40 beats at 84 are 85.7 s."""
    three_sets(client, clock={"step_off": "14:00", "end": "14:10"})
    assert "8 min 34 s to spare" in client.get(PAGE).text
    page = press(client, "", **{"items.0.gap_after_s": "600"}).text
    assert "1 min 26 s too long" in page
    assert 'href="/events/1/order">Change the running order' in page


def test_an_event_over_midnight_is_not_a_day_too_long(client: TestClient) -> None:
    three_sets(client, clock={"step_off": "23:59", "end": "00:10"})
    assert "9 min 34 s to spare" in client.get(PAGE).text


def test_metres_on_the_route_move_with_the_order(demo: TestClient) -> None:
    """The route of the demo parade: what comes first starts at metre 0, whatever it is."""
    page = demo.get(PAGE).text
    assert "at 0 m" in facts(page)[0]
    page = press(demo, "down 0").text
    assert "at 0 m" in facts(page)[0]
    assert "at 0 m" not in facts(page)[1]


def test_an_item_whose_tune_has_no_music_leaves_the_page_standing(client: TestClient) -> None:
    an_event(client, a_set(client))
    page = client.get(PAGE)
    assert page.status_code == 200
    assert names(page.text) == ["1 Set 1"]


def test_an_empty_running_order_leads_on(client: TestClient) -> None:
    an_event(client)
    page = client.get(PAGE).text
    assert "No item yet" in page
    assert 'href="/events/1/fill"' in page


@pytest.mark.parametrize("key", ["999", "x", "-1"])
def test_a_key_that_is_no_set_is_refused(client: TestClient, key: str) -> None:
    three_sets(client)
    assert press(client, f"add {key}").status_code in (400, 422)
    assert len(items(client)) == 3


def test_the_form_of_the_event_leaves_the_running_order_alone(client: TestClient) -> None:
    three_sets(client)
    before = items(client)
    fields = fields_of(client.get("/events/1/edit").text)
    client.post("/events/1/edit", data=fields | {"name": ["Renamed"]})
    assert items(client) == before


def test_a_filled_slot_is_seen_at_once_and_can_be_taken_back(client: TestClient) -> None:
    three_sets(client)
    before = items(client)
    form = {"version": "1", "minutes": "1", "gap_s": "0", "do": "take"}
    page = client.post("/events/1/fill", data=form)
    assert page.url.path == PAGE
    assert len(items(client)) == 2, "two sets of 28.6 s fit into a minute"
    assert "Undo filling the slot" in page.text
    press(client, "undo")
    assert items(client) == before


def test_a_set_that_is_added_is_named_also_where_something_else_is_wrong(
    client: TestClient,
) -> None:
    three_sets(client)
    other = a_set(client, a_tune(client, "Fourth"), number=4)
    page = press(client, f"add {other}", **{"items.0.gap_after_s": "soon"})
    assert page.status_code == 422
    assert names(page.text)[-1] == "4 Set 4"
    assert "Undo adding “Set 4”" in html.unescape(press(client, f"add {other}").text)


def told(client: TestClient) -> list[Any]:
    return list(client.get("/api/events/1/changes").json())


def test_typing_on_is_told_as_one_change_from_where_it_began(client: TestClient) -> None:
    three_sets(client, clock={"step_off": "14:00"})
    for rest in ("6", "60", "600"):
        press(client, "", **{"items.0.gap_after_s": rest})
    (only,) = told(client)
    # 28.6 s of the first set, then the rest: at 14:00:28 and now at 14:10:28, seconds that are over
    assert [said for said in only["said"] if "Set 2" in said] == [
        "Set 2 starts at 14:10:28, was 14:00:28."
    ]
    assert only["version"] == 4


def test_another_change_in_between_ends_the_typing(client: TestClient) -> None:
    three_sets(client, clock={"step_off": "14:00"})
    press(client, "", **{"items.0.gap_after_s": "60"})
    client.post("/api/events/1/day", json={"move_minutes": 10}, headers={"If-Match": "*"})
    press(client, "", **{"items.0.gap_after_s": "120"})
    assert len(told(client)) == 3
    press(client, "undo")
    assert items(client)[0]["gap_after_s"] == 60
