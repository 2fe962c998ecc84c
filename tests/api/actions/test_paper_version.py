"""Does a new sheet say a newer version, whatever has changed, and the same sheet the same?"""

import re
from collections.abc import Callable

import pytest
from fastapi.testclient import TestClient

from tests.api.library import ANY, a_person, a_set, a_tune, an_event, march
from tests.api.printing.paper import words


@pytest.fixture
def event(client: TestClient) -> str:
    number = an_event(client, a_set(client, a_tune(client, "The Wicker Gate")))
    person = a_person(client, "Perrin Oxgate")
    form = {"answers": [{"person_key": person, "answer": "yes"}]}
    client.put(f"/api/events/{number}/line-up", json=form, headers=ANY).raise_for_status()
    return number


def version(client: TestClient, event: str) -> int:
    text = words(client.get(f"/events/{event}/call-sheet.pdf").content)
    found = re.search(r"version (\d+), made", text)
    assert found is not None
    return int(found[1])


def change(client: TestClient, address: str, **changes: object) -> None:
    kept = client.get(address).json()
    sent = client.put(address, json={**kept, **changes}, headers=ANY)
    if sent.status_code == 422:  # what the service works out may not be sent back
        wrong = {each["field"].split(".")[0] for each in sent.json()["errors"]}
        form = {name: value for name, value in kept.items() if name not in wrong}
        sent = client.put(address, json={**form, **changes}, headers=ANY)
    assert sent.status_code == 200, sent.text


def other_music(client: TestClient) -> None:
    file = {"file": ("gate.abc", march("The Wicker Gate").replace(b"A2", b"B2"))}
    client.put("/api/tunes/1/file", files=file, headers=ANY).raise_for_status()


def own_rule(client: TestClient) -> None:
    own = {"value": 82, "set_by": "Perrin Oxgate"}
    client.put("/api/rules/idioms.march.tempo.2/4", json=own, headers=ANY).raise_for_status()


CHANGES: dict[str, Callable[[TestClient], None]] = {
    "the event": lambda client: change(client, "/api/events/1", name="Mill Night"),
    "the set": lambda client: change(client, "/api/sets/1", name="Oats"),
    "the tune": lambda client: change(client, "/api/tunes/1", tonal_centre="D"),
    "a name": lambda client: change(client, "/api/people/1", name="Perrin Oxgate-Moss"),
    "the music": other_music,
    "a rule": own_rule,
}


@pytest.mark.parametrize("name", CHANGES)
def test_a_change_of_what_paper_is_made_from_makes_a_newer_version(client, event, name) -> None:
    before = version(client, event)
    assert version(client, event) == before, "asking again is no change"
    CHANGES[name](client)
    assert version(client, event) > before


def test_contest_rules_make_a_newer_version_only_where_a_set_is_entered_under_them(
    client, event
) -> None:
    rules = {
        "body": "Weir Valley", "year": 2027, "grade": "4", "element": "medley", "shortest": 10,
        "longest": 60, "set_by": "Morna",
    }  # fmt: skip
    before = version(client, event)
    own = client.post("/api/contest-rules/own", json=rules).json()
    assert version(client, event) == before
    change(client, "/api/sets/1", ruleset=own["name"])
    entered = version(client, event)
    assert entered > before
    address = f"/api/contest-rules/own/{own['key']}"
    client.put(address, json={**rules, "longest": 90}, headers=ANY).raise_for_status()
    assert version(client, event) > entered


def test_the_version_never_counts_down(client, event) -> None:
    seen = [version(client, event)]
    for name in ("Oats", "Barley", "Oats"):
        change(client, "/api/sets/1", name=name)
        seen.append(version(client, event))
    assert seen == sorted(set(seen))


def test_all_sheets_of_one_moment_say_the_same_version_and_time(client, event) -> None:
    sheets = ("set-cards", "drum-sheet", "running-order", "call-sheet")
    texts = [words(client.get(f"/events/{event}/{name}.pdf").content) for name in sheets]
    said = [re.search(r"version \d+, made [\d]+ \w+ \d+ \d\d:\d\d", text) for text in texts]
    assert len({found and found[0] for found in said}) == 1
    assert None not in said
