"""A request asks the database a few questions, and as many for forty things as for one."""

import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient
from sqlalchemy import event

from api.settings import Settings
from tests.api.library import AT_THIS_MACHINE, a_person, a_set, a_tune, an_event, if_match
from tests.pages import page_routes

MOST = 12
"""How many questions may one request ask? An event's plan needs the most of them."""
FORTY = 40


@contextmanager
def counted(app: FastAPI) -> Iterator[list[str]]:
    asked: list[str] = []

    def note(_c: object, _cursor: object, statement: str, *_rest: object) -> None:
        asked.append(statement)

    engine = app.state.database.engine
    event.listen(engine, "before_cursor_execute", note)
    yield asked
    event.remove(engine, "before_cursor_execute", note)


def fill(client: TestClient, size: int) -> None:
    """So many tunes in one set, so many sets, people and events; the first event has them all."""
    tunes = [a_tune(client, f"Tune {number}") for number in range(size)]
    sets = [a_set(client, *tunes[:5], number=number + 1) for number in range(size)]
    client.put("/api/sets/1", json=a_set_of(tunes), headers=if_match(1))
    a_set(client, *tunes, number=99)
    people = [a_person(client, f"Person {number}") for number in range(size)]
    for number in range(size):
        an_event(client, *sets, name=f"Event {number}")
    line_up = {
        "answers": [{"person_key": person, "answer": "yes"} for person in people],
        "outs": [[person, tunes[0]] for person in people],
        "harmony": [[people[0], tune] for tune in tunes],
    }
    client.put("/api/events/1/line-up", json=line_up, headers=if_match(1))


def a_set_of(tunes: list[str]) -> dict[str, object]:
    """The first set with every tune in it."""
    return {"number": 1, "name": "All", "entries": [{"tune_key": tune} for tune in tunes]}


ADDRESSES = [
    "tunes", "tunes/1", "sets", "sets/1", "people", "events", "events/1", "events/1/plan",
    "events/1/choices", "rules?below=idioms.march",
]  # fmt: skip
NOT_HERE = "/rules/contests/{number}"  # no rules of the band's own in this library
ROWS = {
    "/rules/{key:path}": "/rules/cautions.heat",
    "/rules/dances/{name}": "/rules/dances/highland-fling",
}
PAGES = [
    *(re.sub(r"{[^}]+}", "1", ROWS.get(path, path)) for path in page_routes() if path != NOT_HERE),
    "/sets/tunes",  # the pieces of pages that tunes and sets are picked on
    "/events/1/sets",
]
"""Every page, of the first thing of its kind: the first event has every set, all play there."""


@pytest.fixture(scope="module")
def counts(
    app: FastAPI, empty_library: Path, tmp_path_factory: pytest.TempPathFactory
) -> dict[int, dict[str, int]]:
    """How many questions each address asks, by the size of the library."""
    found = {}
    for size in (1, FORTY):
        folder = tmp_path_factory.mktemp("sized") / "library"
        app.state.settings = Settings(data_dir=Path(shutil.copytree(empty_library, folder)))
        with TestClient(app, base_url="http://localhost", client=AT_THIS_MACHINE) as client:
            fill(client, size)
            asked = [*(f"/api/{address}" for address in ADDRESSES), *PAGES]
            found[size] = {address: questions(client, app, address) for address in asked}
    return found


def questions(client: TestClient, app: FastAPI, address: str) -> int:
    client.get("/api/band")  # whose library this is, is asked once
    with counted(app) as asked:
        assert client.get(address).status_code == 200, address
    return len([statement for statement in asked if not statement.startswith("BEGIN")])


@pytest.mark.parametrize("address", ADDRESSES)
def test_reading_asks_few_questions_and_no_more_for_forty(
    counts: dict[int, dict[str, int]], address: str
) -> None:
    assert counts[1][f"/api/{address}"] == counts[FORTY][f"/api/{address}"] <= MOST


@pytest.mark.parametrize("page", PAGES)
def test_a_page_asks_few_questions_and_no_more_for_forty(
    counts: dict[int, dict[str, int]], page: str
) -> None:
    assert counts[1][page] == counts[FORTY][page] <= MOST
