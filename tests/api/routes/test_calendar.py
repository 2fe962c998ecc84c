"""The calendars over HTTP."""

from fastapi.testclient import TestClient

from tests.api.library import an_event, if_match


def test_the_feed_holds_every_event_with_a_day(client: TestClient) -> None:
    an_event(client, name="First", day="2031-06-07")
    an_event(client, name="Undated")
    feed = client.get("/events.ics")
    assert feed.headers["content-type"].startswith("text/calendar")
    assert feed.text.count("BEGIN:VEVENT") == 1
    assert "SUMMARY:First" in feed.text


def test_a_change_of_an_event_counts_up_its_sequence(client: TestClient) -> None:
    key = an_event(client, day="2031-06-07")
    before = client.get(f"/events/{key}.ics").text
    form = {"name": "Mill Day", "setting": {"occasion": "parade"}, "day": "2031-06-08"}
    client.put(f"/api/events/{key}", json=form, headers=if_match(1))
    after = client.get(f"/events/{key}.ics").text
    assert "SEQUENCE:1\r\n" in before
    assert "SEQUENCE:2\r\n" in after
    assert before.split("UID:")[1].split("\r\n")[0] == after.split("UID:")[1].split("\r\n")[0]


def test_an_event_without_a_day_is_no_calendar_and_says_so(client: TestClient) -> None:
    answer = client.get(f"/events/{an_event(client)}.ics")
    assert answer.status_code == 422
    assert "has no day yet; set its day first" in answer.text
