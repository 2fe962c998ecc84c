"""The band itself over HTTP."""

from fastapi.testclient import TestClient

from tests.api.library import if_match

FORM = {"name": "Millers' Band", "place": "the mill", "steps_per_minute": 86, "pace_m": 0.75}


def test_the_band_is_founded_with_the_name_of_the_settings(client: TestClient) -> None:
    answer = client.get("/api/band")
    assert (answer.json()["name"], answer.headers["etag"]) == ("Testing band", '"1"')


def test_the_band_can_say_how_it_is_called_and_steps(client: TestClient) -> None:
    client.put("/api/band", json=FORM, headers=if_match(1))
    assert client.get("/api/band").json() == {"version": 2, **FORM}


def test_a_stale_or_missing_version_changes_nothing(client: TestClient) -> None:
    assert client.put("/api/band", json=FORM).status_code == 428
    assert client.put("/api/band", json=FORM, headers=if_match(4)).status_code == 412
    assert client.get("/api/band").json()["name"] == "Testing band"
