"""Nobody overwrites what they have not seen: every noun has a version, and a change needs it."""

from typing import Any

import pytest
from fastapi.testclient import TestClient

from tests.api.library import a_person, a_set, a_tune, an_event, if_match

FORMS: dict[str, dict[str, Any]] = {
    "tunes": {"title": "Another Name"},
    "sets": {"number": 2, "name": "Another Name"},
    "people": {"name": "Another Name", "instrument": "bass"},
    "events": {"name": "Another Name", "setting": {"occasion": "exhibition"}},
}
MAKERS = {"tunes": a_tune, "sets": a_set, "people": a_person, "events": an_event}
NOUNS = sorted(FORMS)


@pytest.mark.parametrize("noun", NOUNS)
@pytest.mark.parametrize("method", ["PUT", "DELETE"])
def test_a_change_without_a_version_is_428_and_changes_nothing(
    client: TestClient, noun: str, method: str
) -> None:
    address = f"/api/{noun}/{MAKERS[noun](client)}"
    body = FORMS[noun] if method == "PUT" else None
    answer = client.request(method, address, json=body)
    assert (answer.status_code, answer.json()["title"]) == (428, "Version missing")
    assert client.get(address).json()["version"] == 1


@pytest.mark.parametrize("noun", NOUNS)
@pytest.mark.parametrize("method", ["PUT", "DELETE"])
@pytest.mark.parametrize("tag", ['"1"', 'W/"2"', '"²"'])
def test_a_change_of_another_version_is_412_and_names_the_newest(
    client: TestClient, noun: str, method: str, tag: str
) -> None:
    address = f"/api/{noun}/{MAKERS[noun](client)}"
    client.put(address, json=FORMS[noun], headers=if_match(1))
    body = FORMS[noun] if method == "PUT" else None
    headers = {"If-Match": tag.encode("latin-1")}
    answer = client.request(method, address, json=body, headers=headers)
    assert (answer.status_code, answer.headers["etag"]) == (412, '"2"')
    assert answer.json()["newest_version"] == 2
    assert client.get(address).json()["version"] == 2


@pytest.mark.parametrize("noun", NOUNS)
def test_the_etag_of_one_thing_is_its_version(client: TestClient, noun: str) -> None:
    address = f"/api/{noun}/{MAKERS[noun](client)}"
    changed = client.put(address, json=FORMS[noun], headers=if_match(1))
    assert (changed.status_code, changed.json()["version"]) == (200, 2)
    assert client.get(address).headers["etag"] == changed.headers["etag"] == '"2"'


@pytest.mark.parametrize("noun", NOUNS)
@pytest.mark.parametrize("method", ["GET", "PUT", "DELETE"])
def test_a_thing_that_is_not_there_is_404(client: TestClient, noun: str, method: str) -> None:
    body = FORMS[noun] if method == "PUT" else None
    answer = client.request(method, f"/api/{noun}/77", json=body, headers=if_match(1))
    assert (answer.status_code, answer.json()["title"]) == (404, "Not found")
