"""A band sees and changes its own library only; the outsider sees nothing.

One service holds one band so far, so the second band is put into the database by hand and the
home band is the one that owns everything.
"""

from collections.abc import Iterator

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from api.dependencies import band_of
from api.storage.database import BandId, Database
from api.storage.tables import BandRow
from tests.api.library import ANY, a_person, a_set, a_tune, an_event

ADDRESSES = ("tunes/1", "sets/1", "people/1", "events/1", "tunes/1/file")


@pytest.fixture
def outsider(client: TestClient, app: FastAPI) -> Iterator[TestClient]:
    """The same service, asked by somebody of another band; the library of the first is full."""
    a_person(client)
    an_event(client, a_set(client, a_tune(client)))
    database: Database = app.state.database
    with database.writing() as session:
        other = BandRow(name="The other band")
        session.add(other)
        session.commit()
        number = BandId(other.row_id)
    app.dependency_overrides[band_of] = lambda: number
    yield client
    app.dependency_overrides.clear()


@pytest.mark.parametrize("address", ADDRESSES)
def test_an_outsider_does_not_see_what_is_there(outsider: TestClient, address: str) -> None:
    assert outsider.get(f"/api/{address}").status_code == 404


@pytest.mark.parametrize("noun", ["tunes", "sets", "people", "events"])
def test_an_outsiders_lists_are_empty(outsider: TestClient, noun: str) -> None:
    assert outsider.get(f"/api/{noun}").json() == []


@pytest.mark.parametrize("address", ADDRESSES[:4])
def test_an_outsider_removes_nothing(outsider: TestClient, app: FastAPI, address: str) -> None:
    assert outsider.delete(f"/api/{address}", headers=ANY).status_code == 404
    app.dependency_overrides.clear()
    assert outsider.get(f"/api/{address}").status_code == 200


@pytest.mark.parametrize(
    "address",
    [
        "/api/events/1/plan",
        "/api/events/1/choices",
        "/api/events/1/gaps",
        "/api/tunes/1/plan?occasion=parade",
        "/api/tunes/1/attachment",
        "/api/tunes/1/drum-score",
        "/api/tunes/1/drum-scan",
        "/api/events/1/since-last-print",
    ],
)
def test_an_outsider_gets_no_plan_and_no_file(outsider: TestClient, address: str) -> None:
    assert outsider.get(address).status_code == 404


@pytest.mark.parametrize(
    ("address", "form"),
    [
        ("sets", {"number": 1, "name": "Theirs", "entries": [{"tune_key": "1"}]}),
        (
            "events",
            {"name": "Theirs", "setting": {"occasion": "parade"}, "items": [{"set_key": "1"}]},
        ),
    ],
)
def test_an_outsider_cannot_build_on_what_is_not_theirs(
    outsider: TestClient, address: str, form: dict[str, object]
) -> None:
    assert outsider.post(f"/api/{address}", json=form).status_code == 422


def test_an_outsiders_line_up_takes_their_own_people_only(outsider: TestClient) -> None:
    key = an_event(outsider)
    line_up = {"answers": [{"person_key": "1", "answer": "yes"}]}
    answer = outsider.put(f"/api/events/{key}/line-up", json=line_up, headers=ANY)
    assert answer.status_code == 422
