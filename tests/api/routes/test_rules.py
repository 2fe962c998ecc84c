"""The rule book over HTTP, and the band's own values."""

from typing import Any

import pytest
from fastapi.testclient import TestClient

from tests.api.library import if_match

# A rule whose key holds a slash, as the tempos of a metre do.
RULE = "idioms.march.tempo.2/4"
ADDRESS = f"/api/rules/{RULE}"
OWN = {"value": 82, "set_by": "Perrin Oxgate"}


def test_a_rule_is_read_with_its_unit_source_and_status(client: TestClient) -> None:
    answer = client.get(ADDRESS)
    rule = answer.json()
    assert (rule["unit"], rule["own_version"], answer.headers["etag"]) == ("bpm", 0, '"0"')
    assert rule["source"]
    assert rule["status"] != "the band's own"


def test_rules_are_listed_below_a_key(client: TestClient) -> None:
    keys = [rule["key"] for rule in client.get("/api/rules?below=idioms.march").json()]
    assert RULE in keys
    assert all(key.startswith("idioms.march.") for key in keys)


def test_an_own_value_holds_with_name_and_day_until_it_is_dropped(client: TestClient) -> None:
    before = client.get(ADDRESS).json()["value"]
    own = client.put(ADDRESS, json=OWN, headers=if_match(0)).json()
    assert (own["value"], own["status"], own["set_by"]) == (82, "the band's own", "Perrin Oxgate")
    assert own["set_on"]
    assert client.delete(ADDRESS, headers=if_match(1)).status_code == 204
    assert client.get(ADDRESS).json()["value"] == before


def test_an_own_value_changes_the_plan(client: TestClient) -> None:
    form = {"title": "By Ear", "idiom": "march", "outline": {"metre": "2/4", "parts": [[8, 2]]}}
    key = client.post("/api/tunes", json=form).json()["key"]
    address = f"/api/tunes/{key}/plan?occasion=parade"
    assert client.get(address).json()["tune"]["tempo_bpm"] != 82
    client.put(ADDRESS, json=OWN, headers=if_match(0))
    assert client.get(address).json()["tune"]["tempo_bpm"] == 82


@pytest.mark.parametrize(("method", "seen", "status"), [("PUT", 1, 412), ("DELETE", 1, 404)])
def test_an_own_value_nobody_set_has_version_0(
    client: TestClient, method: str, seen: int, status: int
) -> None:
    body = OWN if method == "PUT" else None
    answer = client.request(method, ADDRESS, json=body, headers=if_match(seen))
    assert answer.status_code == status


def test_two_people_do_not_overwrite_each_others_value(client: TestClient) -> None:
    client.put(ADDRESS, json=OWN, headers=if_match(0))
    second = client.put(ADDRESS, json={**OWN, "value": 79}, headers=if_match(0))
    assert (second.status_code, second.json()["newest_version"]) == (412, 1)
    assert client.get(ADDRESS).json()["value"] == 82


def test_a_change_without_a_version_is_428(client: TestClient) -> None:
    assert client.put(ADDRESS, json=OWN).status_code == 428
    assert client.delete(ADDRESS).status_code == 428


@pytest.mark.parametrize("value", ["fast", -4, 10_000, True, [80, 84], [], None])
def test_a_value_of_the_wrong_kind_or_out_of_range_is_refused(
    client: TestClient, value: Any
) -> None:
    form = {"value": value, "set_by": "Perrin Oxgate"}
    assert client.put(ADDRESS, json=form, headers=if_match(0)).status_code == 422
    assert client.get(ADDRESS).json()["own_version"] == 0


def test_a_rule_the_book_does_not_have_cannot_be_set(client: TestClient) -> None:
    answer = client.put("/api/rules/idioms.march.volume", json=OWN, headers=if_match(0))
    assert (answer.status_code, answer.json()["errors"][0]["field"]) == (422, "key")
