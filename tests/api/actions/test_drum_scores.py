"""The drummers' score is kept with its tune and changes what its plan knows."""

import pytest
from fastapi.testclient import TestClient

from tests.api.library import a_tune, if_match

# Two bars of 2/4 for a side drum, as MusicXML 4.0 writes unpitched notes.
NOTE = "<note><unpitched/><duration>1</duration><voice>1</voice><type>quarter</type></note>"
CLEF = "<clef><sign>percussion</sign></clef>"
TIME = "<time><beats>2</beats><beat-type>4</beat-type></time>"
SCORE = f"""<?xml version="1.0" encoding="UTF-8"?>
<score-partwise version="4.0">
  <part-list><score-part id="P1"><part-name>Snare corps</part-name></score-part></part-list>
  <part id="P1">
    <measure number="1">
      <attributes><divisions>1</divisions>{TIME}{CLEF}</attributes>{NOTE}{NOTE}
    </measure>
    <measure number="2">{NOTE}{NOTE}</measure>
  </part>
</score-partwise>
""".encode()


def test_a_drum_score_is_kept_planned_with_and_taken_away(client: TestClient) -> None:
    address = f"/api/tunes/{a_tune(client)}"
    plan = f"{address}/plan?occasion=parade&rung=4"
    assert "no_drum_score" in warnings(client, plan)
    files = {"file": ("drums.musicxml", SCORE)}
    kept = client.put(f"{address}/drum-score", files=files, headers=if_match(1))
    assert kept.json()["drum_score"]["name"] == "drums.musicxml"
    assert "no_drum_score" not in warnings(client, plan)
    assert client.get(f"{address}/drum-score").content == SCORE
    client.delete(f"{address}/drum-score", headers=if_match(2))
    assert "no_drum_score" in warnings(client, plan)


@pytest.mark.parametrize("content", [b"", b"X:1\nK:HP\n", b"<score-partwise/>"])
def test_a_file_without_drum_notes_is_refused(client: TestClient, content: bytes) -> None:
    address = f"/api/tunes/{a_tune(client)}"
    files = {"file": ("drums.musicxml", content)}
    answer = client.put(f"{address}/drum-score", files=files, headers=if_match(1))
    assert (answer.status_code, answer.json()["errors"][0]["field"]) == (422, "file")
    assert client.get(address).json()["version"] == 1


def test_a_scan_that_is_no_picture_is_refused(client: TestClient) -> None:
    address = f"/api/tunes/{a_tune(client)}"
    files = {"file": ("score.png", b"not a picture")}
    answer = client.put(f"{address}/drum-scan", files=files, headers=if_match(1))
    assert answer.status_code in (415, 422)
    assert client.get(address).json()["version"] == 1


def warnings(client: TestClient, plan: str) -> list[str]:
    return [warning["code"] for warning in client.get(plan).json()["warnings"]]
