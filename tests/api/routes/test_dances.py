"""Dances over HTTP and on their pages: what is on record, and which tunes of the band fit."""

import pytest
from fastapi.testclient import TestClient


def an_outline(client: TestClient, title: str, idiom: str, metre: str, parts: int) -> str:
    outline = {"metre": metre, "parts": [[8, 1]] * parts}
    form = {"title": title, "idiom": idiom, "outline": outline}
    return str(client.post("/api/tunes", json=form).json()["key"])


def test_every_value_of_a_dance_has_its_source_and_status(client: TestClient) -> None:
    listed = {each["name"]: each for each in client.get("/api/dances").json()}
    tempo = listed["full-tulloch"]["tempos"][0]["tempo_bpm"]
    assert (tempo["value"], tempo["low"], tempo["high"]) == (102, 100, 108)
    assert "MacPhee" in tempo["source"]
    assert (tempo["status"], tempo["since"]) == ("published", "2020")
    assert listed["sailors-hornpipe"]["tempos"][0]["tempo_bpm"] is None
    assert "Confirm with the dancers" in listed["full-tulloch"]["confirm"]


def test_the_tunes_that_fit_are_named_with_the_times_through(client: TestClient) -> None:
    slow = an_outline(client, "The Slow Mill", "strathspey", "4/4", 4)
    quick = an_outline(client, "The Quick Mill", "pointed reel", "2/2", 2)
    an_outline(client, "The Wet Mill", "jig", "6/8", 4)
    found = client.get("/api/dances/strathspey-and-half-tulloch?steps=4%2B8").json()
    told = [
        [(one["key"], one["times_through"]) for one in part["fitting"]] for part in found["tunes"]
    ]
    assert told == [[(slow, 1)], [(quick, 4)]]
    page = client.get("/rules/dances/strathspey-and-half-tulloch").text
    assert "The Slow Mill" in page
    assert "4 times through" in page
    assert "The Wet Mill" not in page
    assert "Lower categories dance slightly faster" in page


@pytest.mark.parametrize(
    ("address", "words"),
    [
        ("highland-fling?steps=3%2B1", "Highland Fling takes one number of steps, not 3+1"),
        ("highland-fling?steps=six", "'six' is no number of steps; give 6, 3+1 or 8x32"),
        ("highland-fling?steps=0", "0 cannot be danced"),
        ("higland-fling", "there is no dance 'higland-fling' on record; choose highland-fling"),
    ],
)
def test_what_is_no_dance_is_said_in_one_sentence(
    client: TestClient, address: str, words: str
) -> None:
    answer = client.get(f"/api/dances/{address}")
    assert answer.status_code == 422
    assert words in answer.json()["detail"]
    page = client.get(f"/rules/dances/{address}").text.replace("&#39;", "'").lower()
    assert words.lower() in page


def test_a_dance_without_a_tempo_is_refused_and_nothing_is_stored(client: TestClient) -> None:
    tune = an_outline(client, "The Deck", "hornpipe", "2/4", 4)
    form = {"number": 1, "name": "Hornpipe", "dance": "sailors-hornpipe", "steps": [4]}
    bare = client.post("/api/sets", json={**form, "entries": [{"tune_key": tune}]})
    assert bare.status_code == 422
    assert bare.json()["detail"] == (
        "dance: no tempo of Sailor's Hornpipe is on record, and “The Deck” gives none; ask the "
        "dancers and write it beside the tune."
    )
    assert client.get("/api/sets").json() == []
    entry = {"tune_key": tune, "tempo_bpm": 76}
    assert client.post("/api/sets", json={**form, "entries": [entry]}).status_code == 201
