"""A drum score is entered bar by bar, without a script, and plans know it at once."""

import json
import re
from fractions import Fraction
from typing import Any

from fastapi.testclient import TestClient

from tests.api.library import if_match

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
    page = enter(demo, **{"strike.1-0": ["0", "1"], "unison.1-0": ["0", "1"]}).text
    assert ticked(page) == ['1-0" value="0', '1-0" value="1']
    assert "no_drum_score" not in codes(demo)
    bar = {"part": 1, "bar": 1, "ending": 0, "strokes": ["0", "1"], "rolls": []}
    assert score(demo) == {"lines": [{"voice": "bass", "bars": [{**bar, "unison": ["0", "1"]}]}]}


def test_rolls_run_through_the_ticked_places_and_a_bar_of_rest_is_kept(demo: TestClient) -> None:
    enter(demo, **{"roll.1-0": ["0", "1/4", "1", "5/4", "3/2", "7/4"], "rest.2-0": "yes"})
    first, second = score(demo)["lines"][0]["bars"]
    assert first["rolls"] == [["0", "1/2"], ["1", "2"]]
    assert (second["bar"], second["strokes"], second["rolls"]) == (2, [], [])


def test_a_new_stroke_begins_a_new_roll(demo: TestClient) -> None:
    rolling = [str(Fraction(n, 4)) for n in range(8)]
    enter(demo, **{"roll.1-0": rolling, "strike.1-0": ["0", "1"]})
    assert score(demo)["lines"][0]["bars"][0]["rolls"] == [["0", "1"], ["1", "2"]]
    page = enter(demo, **{"roll.1-0": rolling, "strike.1-0": ["0", "1"]}).text
    assert len(re.findall(r'name="roll\.1-0" value="[^"]+" checked', page)) == 8


def test_unison_is_said_beat_by_beat(demo: TestClient) -> None:
    page = enter(demo, **{"strike.1-0": ["0", "3/4", "1"], "unison.1-0": ["0"]}).text
    assert score(demo)["lines"][0]["bars"][0]["unison"] == ["0", "3/4"]
    assert re.findall(r'name="unison\.1-0" value="([^"]+)" checked', page) == ["0"]


def test_a_bar_of_rest_in_which_something_is_struck_comes_back_as_typed(demo: TestClient) -> None:
    page = enter(demo, **{"rest.1-0": "yes", "strike.1-0": ["1"], "strike.2-0": ["0"]})
    assert page.status_code == 422
    assert "Bar 1 is a bar of rest, and something is struck in it" in page.text
    assert ticked(page.text) == ['1-0" value="1', '2-0" value="0']
    assert demo.get("/api/tunes/9/drum-score").status_code == 404


def test_what_a_file_has_between_the_places_of_the_grid_is_shown_and_kept(demo: TestClient) -> None:
    bar = {"part": 1, "bar": 1, "ending": 0, "strokes": ["0", "1/3"], "rolls": [["1", "5/3"]]}
    told = {"lines": [{"voice": "bass", "bars": [bar]}]}
    files = {"file": ("drums.json", json.dumps(told).encode())}
    demo.put("/api/tunes/9/drum-score", files=files, headers={"If-Match": f'"{version(demo)}"'})
    page = demo.get(f"{PAGE}?part=1&voice=bass&split=4").text
    said = "Kept as it was sent: a stroke at beat 1.333 and a roll from beat 2 to 2.667."
    assert said in page
    enter(demo, split="4", **{"strike.1-0": ["1"]})
    kept = score(demo)["lines"][0]["bars"][0]
    assert (kept["strokes"], kept["rolls"]) == (["1/3", "1"], [["1", "5/3"]])


def test_a_bar_and_a_part_can_be_copied(demo: TestClient) -> None:
    struck = {"strike.1-0": ["0"]}
    enter(demo, **struck, do="copy bar", copy_from="1-0", copy_to="3-0")
    assert [bar["bar"] for bar in score(demo)["lines"][0]["bars"]] == [1, 3]
    enter(demo, part="2", do="copy part", copy_part="1")
    found = [(bar["part"], bar["bar"]) for bar in score(demo)["lines"][0]["bars"]]
    assert found == [(1, 1), (1, 3), (2, 1), (2, 3)]


def test_a_beat_can_be_struck_in_threes(demo: TestClient) -> None:
    thirds = {"strike.1-0": ["0", "1/3", "2/3"], "roll.1-0": ["1", "4/3"]}
    page = enter(demo, split="3", **thirds)
    assert page.url.params["split"] == "3"
    bar = score(demo)["lines"][0]["bars"][0]
    assert (bar["strokes"], bar["rolls"]) == (["0", "1/3", "2/3"], [["1", "5/3"]])
    # Asked for without saying, the grid is the one on which everything stands.
    assert '<option value="3" selected>' in demo.get(f"{PAGE}?part=1&voice=bass").text
    assert demo.get(f"{PAGE}?split=5").status_code == 422


def test_several_bars_in_a_row_can_be_copied(demo: TestClient) -> None:
    struck = {"strike.1-0": ["0"], "strike.2-0": ["1"]}
    enter(demo, **struck, do="copy bar", copy_from="1-0", copy_until="2-0", copy_to="3-0")
    bars = score(demo)["lines"][0]["bars"]
    assert [(bar["bar"], bar["strokes"]) for bar in bars] == [
        (1, ["0"]), (2, ["1"]), (3, ["0"]), (4, ["1"]),
    ]  # fmt: skip
    page = enter(demo, **struck, do="copy bar", copy_from="2-0", copy_until="1-0", copy_to="3-0")
    assert page.status_code == 422
    assert "The bars to copy end before they begin" in page.text


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


def test_a_scan_of_the_drum_score_stands_beside_the_grid_and_outlives_what_is_ticked(
    demo: TestClient,
) -> None:
    png = b"\x89PNG\r\n\x1a\n" + bytes(30)
    seen = int(version(demo))
    kept = demo.put(
        "/api/tunes/9/drum-scan", files={"file": ("score.png", png)}, headers=if_match(seen)
    )
    assert kept.json()["drum_scan"]["name"] == "score.png"
    assert "no_drum_score" in codes(demo)
    assert 'src="/api/tunes/9/drum-scan"' in demo.get("/tunes/9/drum-score").text
    told = {"version": str(seen + 1), "part": "1", "voice": "bass", "do": "keep"}
    demo.post("/tunes/9/drum-score/grid", data={**told, "strike.1-0": "0"})
    shown = demo.get("/api/tunes/9/drum-scan")
    assert (shown.content, shown.headers["content-type"]) == (png, "image/png")
    demo.delete("/api/tunes/9/drum-scan", headers=if_match(seen + 2))
    assert demo.get("/api/tunes/9/drum-scan").status_code == 404
    assert demo.get("/api/tunes/9/drum-score").status_code == 200


def test_a_score_sent_from_the_grid_leads_back_to_the_grid(demo: TestClient) -> None:
    png = b"\x89PNG\r\n\x1a\n" + bytes(40)
    seen = demo.get("/api/tunes/9").json()["version"]
    page = demo.get("/tunes/9/drum-score").text
    assert 'action="/tunes/9/drum-score"' in page
    sent = demo.post(
        "/tunes/9/drum-scan",
        data={"version": str(seen), "back": "grid"},
        files={"file": ("score.png", png, "image/png")},
    )
    assert sent.url.path == "/tunes/9/drum-score"
    assert "The score on paper" in sent.text
