"""Parts and phrases of a tune set by hand, on its page and over HTTP."""

import re

from fastapi.testclient import TestClient

from tests.api.library import ANY, if_match, march, upload
from tests.api.pages.form_reader import fields_of

HEAD = "X:1\nT:Long Shore\nR:march\nM:2/4\nL:1/8\nK:HP\n"
PLAIN = f"{HEAD}{'{g}A2 {d}A2 | ' * 15}{{g}}A4 |]\n".encode()
SHORTER = f"{HEAD}{'{g}A2 {d}A2 | ' * 3}{{g}}A4 |]\n".encode()


def send(client: TestClient, which: str, **typed: str) -> str:
    page = client.get("/tunes/1").text
    fields = fields_of(page, f"/tunes/1/{which}") | {name: [typed[name]] for name in typed}
    answer = client.post(f"/tunes/1/{which}", data=fields)
    return answer.text


def parts(page: str) -> list[str]:
    return re.findall(r"<li>(Part \d+: [^<]*)\.</li>", page)


def test_a_tune_in_one_piece_gets_its_parts_on_its_page(client: TestClient) -> None:
    upload(client, PLAIN)
    assert parts(client.get("/tunes/1").text) == ["Part 1: 16 bars, played once"]
    page = send(client, "parts", part_starts="1, 9")
    assert parts(page) == ["Part 1: eight bars, played once", "Part 2: eight bars, played once"]
    assert fields_of(page, "/tunes/1/parts")["part_starts"] == ["1, 9"]
    assert client.get("/api/tunes/1").json()["part_starts"] == [1, 9]
    assert parts(send(client, "parts", part_starts="")) == ["Part 1: 16 bars, played once"]


def test_phrases_set_by_hand_reach_the_plan(client: TestClient) -> None:
    upload(client, PLAIN)
    send(client, "parts", part_starts="1 9")
    page = send(client, "phrases", **{"phrases.2": "1, 4"})
    assert fields_of(page, "/tunes/1/phrases")["phrases.2"] == ["1, 4"]
    plan = client.get("/api/tunes/1/plan?occasion=exhibition").json()
    spans = [(one["first_bar"], one["last_bar"]) for one in plan["tune"]["parts"][1]["phrases"]]
    assert spans == [(1, 3), (4, 8)]
    assert len(plan["tune"]["parts"][0]["phrases"]) == 4


def test_what_was_set_is_kept_when_the_tune_is_changed_otherwise(client: TestClient) -> None:
    upload(client, PLAIN)
    send(client, "parts", part_starts="1, 9")
    send(client, "phrases", **{"phrases.1": "1, 4"})
    fields = fields_of(client.get("/tunes/1/edit").text, "/tunes/1/edit") | {"title": ["Shore"]}
    client.post("/tunes/1/edit", data=fields)
    tune = client.get("/api/tunes/1").json()
    assert (tune["title"], tune["part_starts"]) == ("Shore", [1, 9])
    assert tune["phrase_starts"] == [[1, 4], []]


def test_other_parts_let_go_of_the_phrases_of_the_old_ones(client: TestClient) -> None:
    upload(client, PLAIN)
    send(client, "parts", part_starts="1, 9")
    send(client, "phrases", **{"phrases.1": "1, 4"})
    send(client, "parts", part_starts="1, 5")
    assert client.get("/api/tunes/1").json()["phrase_starts"] == [[1, 4], []]
    send(client, "parts", part_starts="1, 5, 9")
    assert client.get("/api/tunes/1").json()["phrase_starts"] == []


def test_a_boundary_that_does_not_fit_is_refused_and_nothing_typed_is_lost(
    client: TestClient,
) -> None:
    upload(client, march())
    page = send(client, "parts", part_starts="1, 5")
    assert "Bar 5 stands inside part 1, which is repeated; leave 5 out." in page
    assert fields_of(page, "/tunes/1/parts")["part_starts"] == ["1, 5"]
    page = send(client, "phrases", **{"phrases.1": "1, x"})
    assert "“x” is no bar; write numbers such as 1, 9, 17." in page
    assert fields_of(page, "/tunes/1/phrases")["phrases.1"] == ["1, x"]
    tune = client.get("/api/tunes/1").json()
    assert (tune["part_starts"], tune["phrase_starts"], tune["version"]) == ([], [], 1)


def test_other_music_in_its_place_is_said_not_to_fit(client: TestClient) -> None:
    upload(client, PLAIN)
    send(client, "parts", part_starts="1, 9")
    client.put("/api/tunes/1/file", files={"file": ("a.abc", SHORTER)}, headers=ANY)
    tune = client.get("/api/tunes/1").json()
    assert "division_misfit" in [finding["code"] for finding in tune["findings"]]
    assert tune["part_starts"] == [1, 9]
    page = client.get("/tunes/1").text
    assert "do not fit this music: there is no bar 9" in page
    assert parts(page) == ["Part 1: four bars, played once"]


def test_the_same_over_http(client: TestClient) -> None:
    tune = upload(client, PLAIN).json()[0]
    body = {"title": "Long Shore", "part_starts": [1, 9], "phrase_starts": [[], [1, 4]]}
    answer = client.put("/api/tunes/1", json=body, headers=if_match(tune["version"]))
    assert answer.status_code == 200
    assert answer.json()["music"]["parts"] == 2
    body["phrase_starts"] = [[1, 4]]
    answer = client.put("/api/tunes/1", json=body, headers=ANY)
    assert answer.status_code == 422
    assert "phrases are given for 1 parts, and the tune has 2" in answer.json()["detail"]


def test_an_outline_can_be_cut_too(client: TestClient) -> None:
    outline = {"metre": "6/8", "parts": [[16, 1]]}
    body = {"title": "By Ear", "outline": outline, "part_starts": [1, 9]}
    assert client.post("/api/tunes", json=body).json()["music"]["parts"] == 2
    body["part_starts"] = [1, 99]
    assert client.post("/api/tunes", json=body).status_code == 422
