"""Tunes leave the library as files, and come back as settings of themselves."""

import pytest

from planner.notation.read import read_tune
from tests.api.library import upload


@pytest.fixture
def march(client):
    return str(upload(client, ABC.encode()).json()[0]["key"])


ABC = """X:1
T:A Tune to Take Away
M:4/4
L:1/8
R:march
Q:1/4=80
K:HP
|: e | {g}A2 {d}Bc {GdGe}A2 {g}ec | {gde}d2 {g}Bd {g}A3 :|
"""


def test_abc_that_goes_out_is_the_tune_that_came_in(client, march):
    sent = client.get(f"/tunes/{march}/music.abc")
    assert sent.headers["content-disposition"].endswith('"a-tune-to-take-away.abc"')
    assert read_tune("x.abc", sent.content).tune == read_tune("y.abc", ABC.encode()).tune


def test_musicxml_that_goes_out_is_the_tune_that_came_in(client, march):
    sent = client.get(f"/tunes/{march}/music.musicxml")
    assert read_tune("x.musicxml", sent.content).tune == read_tune("y.abc", ABC.encode()).tune


def test_midi_is_a_standard_midi_file_of_an_occasion(client, march):
    sent = client.get(f"/tunes/{march}/music.mid?occasion=competition")
    assert sent.content.startswith(b"MThd")
    assert "competition" in sent.headers["content-disposition"]


def test_a_tune_is_recast_as_a_tune_of_its_own(client, march):
    page = client.post(
        f"/tunes/{march}/recast", data={"idiom": "strathspey"}, follow_redirects=False
    )
    assert page.status_code == 303
    again = client.get(page.headers["location"].split("?")[0] + "/music.abc")
    assert read_tune("x.abc", again.content).tune.idiom == "strathspey"


def test_a_recast_that_is_not_possible_is_told_and_nothing_is_stored(client, march):
    before = len(client.get("/api/tunes").json())
    refused = client.post(f"/tunes/{march}/recast", data={"idiom": "jig"})
    assert refused.status_code == 422
    assert "cannot be recast as jig" in refused.text
    assert len(client.get("/api/tunes").json()) == before


def test_a_tune_that_is_not_there_cannot_be_taken_away(client):
    assert client.get("/tunes/4711/music.abc").status_code == 404
