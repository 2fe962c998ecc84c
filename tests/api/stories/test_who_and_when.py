"""Who and when. One call sheet; gaps by instrument."""

from fastapi.testclient import TestClient

from tests.api.library import a_person, a_set, a_tune, an_event, if_match
from tests.api.printing.paper import words

CLOCK = {"meet": "09:15", "tune_up": "09:45", "step_off": "10:30", "end": "11:30"}
ANSWERS = {"Ada Wick": "yes", "Bo Harl": "maybe", "Cy Toft": "no"}


def an_asked_band(client: TestClient) -> str:
    """Three pipers who said yes, maybe and no, and a snare drummer who said nothing."""
    entered = a_set(client, a_tune(client), ruleset="rspba-2022-grade-1-minimum")
    when = {"clock": CLOCK, "day": "2031-06-07", "answers_by": "2031-05-31"}
    event = an_event(client, entered, occasion="competition", **when)
    answers = [
        {"person_key": a_person(client, name), "answer": word} for name, word in ANSWERS.items()
    ]
    a_person(client, "Di Snaith", "snare")
    client.put(f"/api/events/{event}/line-up", json={"answers": answers}, headers=if_match(1))
    return event


def test_gaps_are_counted_by_instrument(client: TestClient) -> None:
    who = client.get(f"/api/events/{an_asked_band(client)}/people").json()
    counts = {each["instrument"]: each for each in who["counts"]}
    pipes, snare = counts["pipes"], counts["snare"]
    assert [pipes[word] for word in ("yes", "maybe", "no", "silent")] == [1, 1, 1, 0]
    assert (pipes["minimum"], pipes["missing"]) == (8, 7)
    assert (snare["yes"], snare["silent"]) == (0, 1)


def test_the_gaps_and_the_closing_day_stand_on_one_page(client: TestClient) -> None:
    page = client.get(f"/events/{an_asked_band(client)}/people").text
    assert "1 of 8 on pipes said yes, 1 maybe: 7 too few." in page
    assert "Saturday 31 May 2031" in page
    assert "<dd>Di Snaith</dd>" in page


def test_one_call_sheet_has_every_time_and_the_numbers(client: TestClient) -> None:
    sheet = client.get(f"/events/{an_asked_band(client)}/call-sheet.pdf")
    text = words(sheet.content)
    assert all(time in text for time in CLOCK.values())
    assert "Saturday 7 June 2031" in text
    # RSPBA minimum players 2022, Grade 1: 8 pipers, 3 snares, 1 bass
    assert "Pipes 1, perhaps 1 more needed 8: seven players short" in text
    assert "Snare 0 needed 3: three players short" in text
    assert "Bass 0 needed 1: one player short" in text


def test_the_same_times_go_into_a_calendar(client: TestClient) -> None:
    text = client.get(f"/events/{an_asked_band(client)}.ics").text
    assert "DTSTART:20310607T091500\r\n" in text
    assert "DTEND:20310607T113000\r\n" in text
    assert "Step-off: 10:30" in text.replace("\r\n ", "")


def rung_planned(client: TestClient, event: str) -> tuple[int, bool]:
    """The rung the event's one tune is planned with, and whether it carries any mark."""
    plan = client.get(f"/api/events/{event}/plan").json()["sets"][0]["entries"][0]["plan"]
    return plan["licence"]["rung"], bool(plan["marks"])


def test_a_tune_is_planned_with_the_rung_of_those_who_play_it(client: TestClient) -> None:
    tune = a_tune(client)
    event = an_event(client, a_set(client, tune), occasion="exhibition")
    keys = []
    for name, rung in (("Ada Wick", 4), ("Bo Harl", 2)):
        form = {"name": name, "instrument": "pipes", "rung": rung}
        keys.append(client.post("/api/people", json=form).json()["key"])
    answers = [{"person_key": key, "answer": "yes"} for key in keys]
    address = f"/api/events/{event}/line-up"

    client.put(address, json={"answers": answers}, headers=if_match(1))
    assert rung_planned(client, event) == (2, False)
    assert "lowest of those who play it (Bo Harl). It carries no marks." in (
        client.get(f"/events/{event}").text
    )

    outs = [[keys[1], tune]]
    client.put(address, json={"answers": answers, "outs": outs}, headers=if_match(2))
    assert rung_planned(client, event) == (4, True)
    assert "lowest of those who play it" not in client.get(f"/events/{event}").text
