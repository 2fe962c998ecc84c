"""A whole set over HTTP, as it is played at an event."""

from itertools import pairwise

import pytest
from fastapi.testclient import TestClient

from tests.api.library import a_set, a_tune, an_event


@pytest.fixture
def event(client: TestClient) -> str:
    return an_event(client, a_set(client, a_tune(client)))


def test_a_set_is_as_long_as_its_timetable_says(client: TestClient, event: str) -> None:
    played = client.get(f"/api/events/{event}/sets/1/played").json()
    slot = client.get(f"/api/events/{event}/plan").json()["slots"][0]
    assert played["length_ms"] == pytest.approx(1000 * slot["seconds"], abs=0.01)
    assert [each["tune_key"] for each in played["tunes"]] == ["1"]
    notes = played["notes"]
    assert notes[0]["movement_start_ms"] == pytest.approx(played["tunes"][0]["start_ms"], abs=200)
    assert all(
        here["end_ms"] == pytest.approx(after["movement_start_ms"], abs=0.01)
        for here, after in pairwise(notes)
    )


def test_a_set_is_a_midi_file(client: TestClient, event: str) -> None:
    answer = client.get(f"/events/{event}/sets/1/music.mid")
    assert answer.headers["content-type"] == "audio/midi"
    assert answer.content.startswith(b"MThd"), "standard MIDI files begin so"


def test_a_set_that_the_event_does_not_play_is_not_there(client: TestClient, event: str) -> None:
    assert client.get(f"/api/events/{event}/sets/9/played").status_code == 404
    assert client.get(f"/events/{event}/sets/9/music.mid").status_code == 404


def test_a_set_with_times_links_and_an_altered_last_bar_keeps_to_its_timetable(
    client: TestClient,
) -> None:
    first, second = a_tune(client), a_tune(client, "The Lower Gate")
    entries = [
        {
            "tune_key": first,
            "times_through": 2,
            "tempo_bpm": 80,
            "last_bar": "f2 a2|",
            "link": "e2 c2|",
            "pause_after_s": 1.5,
        },
        {"tune_key": second, "tempo_bpm": 92, "parts": [1], "part_times": [1]},
    ]
    form = {"number": 1, "name": "Gates", "entries": entries, "times_through": 2}
    kept = client.post("/api/sets", json=form)
    assert kept.status_code == 201, kept.text
    event = an_event(client, str(kept.json()["key"]))
    played = client.get(f"/api/events/{event}/sets/1/played").json()
    slot = client.get(f"/api/events/{event}/plan").json()["slots"][0]
    assert played["length_ms"] == pytest.approx(1000 * slot["seconds"], abs=0.01)
    assert [each["tempo_bpm"] for each in played["tunes"]] == [80, 92, 80, 92]
    of_first = [note for note in played["notes"] if note["entry"] == 1 and note["time_through"]]
    ends = {
        time: [note["note"] for note in of_first if note["time_through"] == time][-2:]
        for time in (1, 2)
    }
    # As printed the first time, as altered the last.
    assert ends == {1: ["E", "low A"], 2: ["F", "high A"]}
    linked = [note["note"] for note in played["notes"] if note["time_through"] == 0]
    assert linked == ["E", "C"] * 2
