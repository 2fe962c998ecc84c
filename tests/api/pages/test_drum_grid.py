"""A drum score is entered bar by bar, without a script, and plans know it at once."""

import re
from typing import Any

from fastapi.testclient import TestClient

PAGE = "/tunes/9/drum-score"


def version(demo: TestClient) -> str:
    return str(demo.get("/api/tunes/9").json()["version"])


def enter(demo: TestClient, **more: Any) -> Any:
    told = {"version": version(demo), "part": "1", "voice": "bass", "do": "keep"}
    return demo.post(f"{PAGE}/grid", data={**told, **more})


def score(demo: TestClient) -> dict[str, Any]:
    kept: dict[str, Any] = demo.get("/api/tunes/9/drum-score").json()
    return kept


def codes(demo: TestClient) -> set[str]:
    plan = demo.get("/api/tunes/9/plan?occasion=parade").json()
    return {warning["code"] for warning in plan["warnings"]}


def ticked(page: str) -> list[str]:
    return re.findall(r'name="strike\.([^"]+" value="[^"]+)" checked', page)


def test_what_is_ticked_is_kept_and_plans_know_it_at_once(demo: TestClient) -> None:
    assert "no_drum_score" in codes(demo)
    page = enter(demo, **{"strike.1-0": ["0", "1"], "unison.1-0": "yes"}).text
    assert ticked(page) == ['1-0" value="0', '1-0" value="1']
    assert "no_drum_score" not in codes(demo)
    bar = {"part": 1, "bar": 1, "ending": 0, "strokes": ["0", "1"], "rolls": []}
    assert score(demo) == {"lines": [{"voice": "bass", "bars": [{**bar, "unison": ["0", "1"]}]}]}


def test_a_roll_and_a_bar_of_rest_are_kept(demo: TestClient) -> None:
    enter(demo, **{"from.1-0": "0", "to.1-0": "1", "rest.2-0": "yes"})
    first, second = score(demo)["lines"][0]["bars"]
    assert first["rolls"] == [["0", "1"]]
    assert (second["bar"], second["strokes"], second["rolls"]) == (2, [], [])


def test_a_roll_that_ends_before_it_begins_comes_back_as_typed(demo: TestClient) -> None:
    page = enter(demo, **{"from.1-0": "1", "to.1-0": "0", "strike.2-0": ["0"]})
    assert page.status_code == 422
    assert "does not end after it begins" in page.text
    assert ticked(page.text) == ['2-0" value="0']
    assert demo.get("/api/tunes/9/drum-score").status_code == 404


def test_a_bar_and_a_part_can_be_copied(demo: TestClient) -> None:
    struck = {"strike.1-0": ["0"]}
    enter(demo, **struck, do="copy bar", copy_from="1-0", copy_to="3-0")
    assert [bar["bar"] for bar in score(demo)["lines"][0]["bars"]] == [1, 3]
    enter(demo, part="2", do="copy part", copy_part="1")
    found = [(bar["part"], bar["bar"]) for bar in score(demo)["lines"][0]["bars"]]
    assert found == [(1, 1), (1, 3), (2, 1), (2, 3)]


def test_nothing_ticked_leaves_no_score(demo: TestClient) -> None:
    enter(demo, **{"strike.1-0": ["0"]})
    enter(demo)
    assert demo.get("/api/tunes/9/drum-score").status_code == 404
    assert "no_drum_score" in codes(demo)


def test_a_part_or_voice_that_is_not_there_is_refused(demo: TestClient) -> None:
    assert demo.get(f"{PAGE}?part=40").status_code == 422
    assert demo.get(f"{PAGE}?voice=harp").status_code == 422


def test_the_same_json_can_be_sent_by_programs(demo: TestClient) -> None:
    enter(demo, **{"strike.1-0": ["0"]})
    content = demo.get("/api/tunes/9/drum-score").content
    files = {"file": ("drums.json", content)}
    seen = {"If-Match": f'"{version(demo)}"'}
    assert demo.put("/api/tunes/9/drum-score", files=files, headers=seen).status_code == 200
    bad = {"file": ("drums.json", b"{}")}
    seen = {"If-Match": f'"{version(demo)}"'}
    assert demo.put("/api/tunes/9/drum-score", files=bad, headers=seen).status_code == 422
