"""Sets over HTTP."""

from fastapi.testclient import TestClient

from tests.api.library import a_set, a_tune, an_event, if_match

ENTRY = {
    "tempo_bpm": 86,
    "times_through": 0,
    "parts": [1],
    "start_line": "Two rolls, all in.",
    "stop_line": "End of part 1.",
    "join": "Straight on.",
    "pause_after_s": 2.5,
    "part_times": [2],
    "last_bar": "{g}f2 e2",
    "link": "",
    "attack": "strike-in",
    "cut_off": "end-of-part",
    "cue": "the leading tip",
}


def test_a_set_comes_back_as_it_was_given(client: TestClient) -> None:
    form = {
        "number": 4,
        "name": "Gates",
        "occasion": "dance",
        "times_through": 2,
        "introduction_beats": 8,
        "ruleset": "",
        "dance": "half-tulloch",
        "steps": [],
        "bars_per_step": 48,
        "entries": [{"tune_key": a_tune(client), **ENTRY}],
    }
    key = client.post("/api/sets", json=form).json()["key"]
    seen = client.get(f"/api/sets/{key}").json()
    assert {name: seen[name] for name in form} == form


def test_changing_a_set_replaces_its_entries_in_the_new_order(client: TestClient) -> None:
    one, two = a_tune(client, "One"), a_tune(client, "Two")
    key = a_set(client, one, two, one)
    entries = [{"tune_key": two}, {"tune_key": one}]
    form = {"number": 1, "name": "Set 1", "entries": entries}
    client.put(f"/api/sets/{key}", json=form, headers=if_match(1))
    seen = client.get(f"/api/sets/{key}").json()["entries"]
    assert [entry["tune_key"] for entry in seen] == [two, one]


def test_a_set_that_an_event_needs_is_not_removed(client: TestClient) -> None:
    key = a_set(client, a_tune(client))
    an_event(client, key)
    answer = client.delete(f"/api/sets/{key}", headers=if_match(1))
    assert (answer.status_code, "“Mill Day”" in answer.json()["detail"]) == (409, True)
    assert client.get(f"/api/sets/{key}").status_code == 200


def test_removing_a_set_leaves_its_tunes(client: TestClient) -> None:
    tune = a_tune(client)
    key = a_set(client, tune)
    assert client.delete(f"/api/sets/{key}", headers=if_match(1)).status_code == 204
    assert client.get(f"/api/tunes/{tune}").status_code == 200
