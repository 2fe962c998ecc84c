"""Who and when, and who has learnt what: on pages that need no script, and over HTTP."""

from fastapi.testclient import TestClient

from tests.api.library import a_person, a_set, a_tune, an_event, if_match


def settled(client: TestClient, **event: str) -> str:
    """An event with two pipers and a drummer: yes, yes (out of the tune), and nothing said."""
    ada, bo = a_person(client, "Ada Wickerton"), a_person(client, "Bo Harl")
    a_person(client, "Cy Toft", "snare")
    tune = a_tune(client)
    entered = a_set(client, tune, ruleset="rspba-2022-grade-1-minimum")
    key = an_event(client, entered, occasion="competition", **event)
    line_up = {
        "answers": [{"person_key": ada, "answer": "yes"}, {"person_key": bo, "answer": "yes"}],
        "outs": [[bo, tune]],
    }
    client.put(f"/api/events/{key}/line-up", json=line_up, headers=if_match(1))
    return key


def test_counts_stand_against_the_minimum(client: TestClient) -> None:
    counts = client.get(f"/api/events/{settled(client)}/people").json()["counts"]
    pipes = next(each for each in counts if each["instrument"] == "pipes")
    assert (pipes["yes"], pipes["minimum"], pipes["missing"]) == (2, 8, 6)


def test_away_from_a_contest_no_rules_ask_for_a_number(client: TestClient) -> None:
    tune = a_tune(client)
    entered = a_set(client, tune, ruleset="rspba-2022-grade-1-minimum")
    event = an_event(client, entered, occasion="exhibition")
    counts = client.get(f"/api/events/{event}/people").json()["counts"]
    assert {each["minimum"] for each in counts} == {0}
    sums = client.get(f"/api/events/{event}/sums").json()
    assert (sums["sets"][0]["contest"], sums["submitted"]) == (None, [])
    assert "too few" not in client.get(f"/events/{event}").text


def test_the_page_says_who_is_out_who_is_silent_and_what_is_missing(client: TestClient) -> None:
    page = client.get(f"/events/{settled(client)}/people").text
    assert '<td data-name="Out">Bo Harl</td>' in page
    assert "<dt>No answer yet</dt><dd>Cy Toft</dd>" in page
    assert "6 too few" in page


def test_answers_that_are_late_are_said_with_the_closing_day(client: TestClient) -> None:
    key = settled(client, answers_by="2020-05-02")
    codes = [each["code"] for each in client.get(f"/api/events/{key}/people").json()["findings"]]
    assert "answers_late" in codes
    assert "Saturday 2 May 2020" in client.get(f"/events/{key}/people").text


def test_a_gap_is_on_the_page_of_the_event(client: TestClient) -> None:
    key = settled(client)
    client.post("/people/1/readiness", data={"version": "1", "level.1": "chanter"})
    said = "Ada Wickerton is asked for “The Wicker Gate” (on pipes, standing)"
    assert said in client.get(f"/events/{key}").text
    assert said in client.get(f"/events/{key}/people").text


def test_what_was_ticked_stands_in_the_grid_and_can_be_taken_back(client: TestClient) -> None:
    settled(client)
    page = client.post("/people/1/readiness", data={"version": "1", "level.1": "pipes-standing"})
    assert '<option value="pipes-standing" selected>' in page.text
    grid = client.get("/people/readiness").text
    assert '<span aria-hidden="true">s</span><span class="unseen">pipes, standing</span>' in grid
    client.post("/people/1/readiness", data={"version": "2", "level.1": ""})
    assert client.get("/api/readiness").json() == []


def test_a_drummer_has_a_score_or_none(client: TestClient) -> None:
    settled(client)
    page = client.get("/people/3/readiness").text
    assert "has a score" in page
    assert "pipes, marching" not in page


def test_an_old_page_changes_nothing_and_keeps_what_was_chosen(client: TestClient) -> None:
    settled(client)
    page = client.post("/people/1/readiness", data={"version": "9", "level.1": "chanter"})
    assert page.status_code == 412
    assert '<option value="chanter" selected>' in page.text
    assert client.get("/api/readiness").json() == []


def test_a_level_nobody_knows_is_refused(client: TestClient) -> None:
    settled(client)
    page = client.post("/people/1/readiness", data={"version": "1", "level.1": "fluent"})
    assert page.status_code == 422
    assert client.get("/api/readiness").json() == []
