"""Fill the slot: what fits, what is asked for, what is forbidden, and who is ready."""

from typing import Any

import pytest
from fastapi.testclient import TestClient

from tests.api.library import a_person, a_set, a_tune, an_event, if_match


def sets_and_event(client: TestClient) -> str:
    """Three sets of one tune each, 11.4 s of tune (16 beats at 84) after 5.7 s of rolls."""
    tunes = [a_tune(client, f"Tune {number}") for number in range(3)]
    for number, tune in enumerate(tunes, start=1):
        a_set(client, tune, number=number)
    return an_event(client)


def ask(client: TestClient, event: str, minutes: float, **form: Any) -> Any:
    body = {"minutes": minutes, "gap_s": 0, **form}
    return client.post(f"/api/events/{event}/fill/proposal", json=body)


def names(proposal: dict[str, Any]) -> set[str]:
    return {item["name"] for item in proposal["items"]}


def test_as_much_as_fits_is_chosen_and_the_rest_is_said(client: TestClient) -> None:
    event = sets_and_event(client)
    one = ask(client, event, 10).json()["proposal"]
    assert len(one["items"]) == 3
    length = one["items"][0]["seconds"]
    two = ask(client, event, 2.5 * length / 60).json()
    assert len(two["proposal"]["items"]) == 2
    assert two["proposal"]["unused_seconds"] == pytest.approx(length / 2, abs=0.1)
    assert len(two["left_out"]) == 1


def test_what_is_asked_for_is_in_and_what_is_forbidden_is_out(client: TestClient) -> None:
    event = sets_and_event(client)
    length = ask(client, event, 10).json()["proposal"]["items"][0]["seconds"]
    found = ask(client, event, 1.5 * length / 60, forced=["3"]).json()
    assert names(found["proposal"]) == {"Set 3"}
    found = ask(client, event, 10, forbidden=["3"]).json()
    assert names(found["proposal"]) == {"Set 1", "Set 2"}
    assert ["Set 3", "it is forbidden"] in found["left_out"]


def test_sets_of_another_occasion_stay_out(client: TestClient) -> None:
    event = sets_and_event(client)
    a_set(client, a_tune(client, "Reel"), number=4, occasion="dance")
    found = ask(client, event, 10).json()
    assert ["Set 4", "it is for dance accompaniment"] in found["left_out"]


def test_what_the_players_are_ready_for_goes_first(client: TestClient) -> None:
    event = sets_and_event(client)
    person = a_person(client)
    said = {"answers": [{"person_key": person, "answer": "yes"}]}
    client.put(f"/api/events/{event}/line-up", json=said, headers=if_match(1))
    levels = {"levels": {"1": "not-yet", "2": "pipes-marching", "3": "chanter"}}
    client.put(f"/api/people/{person}/readiness", json=levels, headers=if_match(1))
    length = ask(client, event, 10).json()["proposal"]["items"][0]["seconds"]
    found = ask(client, event, 1.2 * length / 60).json()
    assert names(found["proposal"]) == {"Set 2"}
    found = ask(client, event, 10, only_ready=True).json()
    assert names(found["proposal"]) == {"Set 2"}
    assert ["Set 1", "not everybody is ready for it"] in found["left_out"]


def test_alternatives_say_what_differs(client: TestClient) -> None:
    event = sets_and_event(client)
    length = ask(client, event, 10).json()["proposal"]["items"][0]["seconds"]
    found = ask(client, event, 1.2 * length / 60).json()
    assert found["alternatives"]
    for other in found["alternatives"]:
        assert any(said.startswith("without ") for said in other["differences"])
        assert any(said.startswith("with ") for said in other["differences"])


def test_taking_it_makes_the_running_order_and_tells_what_changed(client: TestClient) -> None:
    event = sets_and_event(client)
    body = {"minutes": 10, "gap_s": 20}
    taken = client.post(f"/api/events/{event}/fill", json=body, headers=if_match(1))
    assert [item["gap_after_s"] for item in taken.json()["items"]] == [20, 20, 0]
    told = client.get(f"/api/events/{event}/changes").json()[0]["said"]
    assert sum(said.endswith(" is new.") for said in told) == 3
    stale = client.post(f"/api/events/{event}/fill", json=body, headers=if_match(1))
    assert stale.status_code == 412


@pytest.mark.parametrize(
    "form",
    [
        {"minutes": 0},
        {"minutes": -5},
        {"minutes": 10, "gap_s": -1},
        {"minutes": 10, "forced": ["9"]},
        {"minutes": 10, "forced": ["1"], "forbidden": ["1"]},
        {"minutes": 0.1, "forced": ["1"]},
    ],
)
def test_a_wish_that_makes_no_sense_is_refused(client: TestClient, form: dict[str, Any]) -> None:
    event = sets_and_event(client)
    answer = client.post(f"/api/events/{event}/fill", json=form, headers=if_match(1))
    assert answer.status_code == 422
    assert client.get(f"/api/events/{event}").json()["items"] == []


def test_the_page_proposes_and_takes_by_plain_buttons(client: TestClient) -> None:
    event = sets_and_event(client)
    form = {"version": "1", "minutes": "10", "gap_s": "15", "occasion": "parade"}
    page = client.post(f"/events/{event}/fill", data={**form, "do": "propose"})
    assert "Take the proposal as running order" in page.text
    client.post(f"/events/{event}/fill", data={**form, "do": "take"})
    assert len(client.get(f"/api/events/{event}").json()["items"]) == 3


def test_what_was_typed_stays_when_it_is_refused(client: TestClient) -> None:
    event = sets_and_event(client)
    page = client.post(f"/events/{event}/fill", data={"version": "1", "minutes": "ten"})
    assert page.status_code == 422
    assert 'value="ten"' in page.text
