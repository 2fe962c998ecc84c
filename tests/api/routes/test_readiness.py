"""Who can play what, and who cannot play what an event asks."""

import pytest
from fastapi.testclient import TestClient

from api.actions.readiness import Level, is_enough
from tests.api.library import a_person, a_set, a_tune, an_event, if_match


def say(client: TestClient, person: str, version: int, **levels: str) -> int:
    body = {"levels": {key.removeprefix("tune_"): level for key, level in levels.items()}}
    address = f"/api/people/{person}/readiness"
    return client.put(address, json=body, headers=if_match(version)).status_code


def an_event_with(client: TestClient, people: list[str], occasion: str, outs: list[str]) -> str:
    key = an_event(client, a_set(client, a_tune(client)), occasion=occasion)
    line_up = {
        "answers": [{"person_key": person, "answer": "yes"} for person in people],
        "outs": [[person, "1"] for person in outs],
    }
    client.put(f"/api/events/{key}/line-up", json=line_up, headers=if_match(1))
    return key


def gaps(client: TestClient, event: str) -> list[tuple[str, str]]:
    found = client.get(f"/api/events/{event}/gaps").json()
    return [(gap["name"], gap["needed"]) for gap in found]


def test_what_was_said_is_kept_until_it_is_taken_back(client: TestClient) -> None:
    person, tune = a_person(client), a_tune(client)
    assert say(client, person, 1, tune_1="chanter") == 200
    known = {"person_key": person, "tune_key": tune, "level": "chanter"}
    assert client.get("/api/readiness").json() == [known]
    assert say(client, person, 2, tune_1="") == 200
    assert client.get("/api/readiness").json() == []


@pytest.mark.parametrize(
    ("occasion", "found"),
    [("parade", [("Perrin Oxgate", "pipes-marching")]), ("exhibition", [])],
)
def test_a_parade_asks_for_marching_and_a_concert_for_standing(
    client: TestClient, occasion: str, found: list[tuple[str, str]]
) -> None:
    person = a_person(client)
    event = an_event_with(client, [person], occasion, [])
    say(client, person, 1, tune_1="pipes-standing")
    assert gaps(client, event) == found


def test_a_drummer_without_a_score_is_a_gap(client: TestClient) -> None:
    person = a_person(client, "Tove Marl", "snare")
    event = an_event_with(client, [person], "parade", [])
    say(client, person, 1, tune_1="not-yet")
    assert gaps(client, event) == [("Tove Marl", "has-score")]
    say(client, person, 2, tune_1="has-score")
    assert gaps(client, event) == []


def test_who_is_out_of_a_tune_and_who_said_nothing_is_no_gap(client: TestClient) -> None:
    out, silent = a_person(client, "Ada"), a_person(client, "Bo")
    event = an_event_with(client, [out, silent], "parade", [out])
    say(client, out, 1, tune_1="not-yet")
    assert gaps(client, event) == []


def test_readiness_needs_the_version_that_was_seen(client: TestClient) -> None:
    person = a_person(client)
    a_tune(client)
    assert say(client, person, 4, tune_1="chanter") == 412
    answer = client.put(f"/api/people/{person}/readiness", json={"levels": {"1": "chanter"}})
    assert answer.status_code == 428
    assert client.get("/api/readiness").json() == []


@pytest.mark.parametrize("levels", [{"tune_9": "chanter"}, {"tune_1": "fluent"}])
def test_a_tune_or_level_that_is_not_there_is_refused(
    client: TestClient, levels: dict[str, str]
) -> None:
    person = a_person(client)
    a_tune(client)
    assert say(client, person, 1, **levels) == 422
    assert client.get("/api/readiness").json() == []


@pytest.mark.parametrize(
    ("level", "needed", "enough"),
    [
        (Level.STANDING, Level.MARCHING, False),
        (Level.MARCHING, Level.MARCHING, True),
        (Level.MARCHING, Level.STANDING, True),
        (Level.MARCHING, Level.HAS_SCORE, False),
        (Level.HAS_SCORE, Level.STANDING, False),
    ],
)
def test_a_level_is_enough_from_the_one_needed_upwards(
    level: Level, needed: Level, enough: bool
) -> None:
    assert is_enough(level, needed) is enough
