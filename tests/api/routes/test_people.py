"""The people of the band over HTTP."""

from fastapi.testclient import TestClient

from tests.api.library import a_person, an_event, if_match

ALL = {
    "name": "Perrin Oxgate",
    "instrument": "tenor",
    "is_learner": True,
    "rung": 2,
    "role": "scribe",
}


def test_a_person_comes_back_as_they_were_given(client: TestClient) -> None:
    key = client.post("/api/people", json=ALL).json()["key"]
    seen = client.get(f"/api/people/{key}").json()
    assert {name: seen[name] for name in ALL} == ALL


def test_a_person_is_not_in_the_band_twice(client: TestClient) -> None:
    a_person(client, "Perrin Oxgate")
    answer = client.post("/api/people", json=ALL | {"name": "perrin  oxgate"})
    detail = answer.json()["detail"]
    assert (answer.status_code, "“Perrin Oxgate” is in the band already" in detail) == (422, True)
    assert len(client.get("/api/people").json()) == 1


def test_nobody_takes_the_name_of_another(client: TestClient) -> None:
    a_person(client, "Perrin Oxgate")
    key = a_person(client, "Ada Brook")
    answer = client.put(f"/api/people/{key}", json=ALL, headers=if_match(1))
    assert answer.status_code == 422
    assert client.get(f"/api/people/{key}").json()["name"] == "Ada Brook"


def test_somebody_keeps_their_own_name_when_the_rest_changes(client: TestClient) -> None:
    key = a_person(client, "Perrin Oxgate")
    answer = client.put(f"/api/people/{key}", json=ALL, headers=if_match(1))
    assert (answer.status_code, answer.json()["rung"]) == (200, 2)


def test_people_are_listed_by_name(client: TestClient) -> None:
    for name in ("Wat Sedge", "Ada Brook", "Nell Carr"):
        a_person(client, name)
    names = [person["name"] for person in client.get("/api/people").json()]
    assert names == ["Ada Brook", "Nell Carr", "Wat Sedge"]


def test_a_person_whom_a_line_up_names_is_not_removed(client: TestClient) -> None:
    person, event = a_person(client), an_event(client)
    line_up = {"answers": [{"person_key": person, "answer": "no"}]}
    client.put(f"/api/events/{event}/line-up", json=line_up, headers=if_match(1))
    answer = client.delete(f"/api/people/{person}", headers=if_match(1))
    assert (answer.status_code, "“Mill Day”" in answer.json()["detail"]) == (409, True)


def test_a_person_in_no_line_up_is_removed(client: TestClient) -> None:
    person = a_person(client)
    assert client.delete(f"/api/people/{person}", headers=if_match(1)).status_code == 204
    assert client.get("/api/people").json() == []
