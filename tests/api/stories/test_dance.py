"""Dance: the dancers' numbers are fixed, and the music keeps inside what a dance allows.

The dance teacher names the dances; tempo, introduction and parts are fixed; duration to the second;
marks above the occasion's ceiling are left off the music and listed as left off.
"""

from typing import Any

import pytest
from fastapi.testclient import TestClient

from tests.api.library import a_set, a_tune, an_event
from tests.api.printing.paper import words


def an_outline(client: TestClient, title: str, idiom: str, metre: str, parts: int) -> str:
    outline = {"metre": metre, "parts": [[8, 1]] * parts}
    form = {"title": title, "idiom": idiom, "outline": outline}
    answer = client.post("/api/tunes", json=form)
    assert answer.status_code == 201, answer.text
    return str(answer.json()["key"])


def a_team_dance(client: TestClient) -> str:
    """Strathspey and Half Tulloch: a four-part strathspey, two two-part reels each played twice."""
    slow = an_outline(client, "The Slow Mill", "strathspey", "4/4", 4)
    quick = [an_outline(client, f"Quick {number}", "pointed reel", "2/2", 2) for number in (1, 2)]
    entries = [{"tune_key": slow, "tempo_bpm": 120}]
    entries += [{"tune_key": key, "tempo_bpm": 100, "times_through": 2} for key in quick]
    danced = {"dance": "strathspey-and-half-tulloch", "steps": [4, 8], "occasion": "dance"}
    return an_event(client, a_set(client, entries=entries, **danced), occasion="dance")


def dance_of(client: TestClient, event: str) -> Any:
    return client.get(f"/api/events/{event}/sums").json()["sets"][0]["dance"]


def test_the_teacher_names_the_dance_and_its_numbers_are_fixed(client: TestClient) -> None:
    dance = dance_of(client, a_team_dance(client))
    assert (dance["dance"], dance["steps"]) == ("strathspey-and-half-tulloch", [4, 8])
    assert dance["tempos_bpm"] == [120, 100]
    assert (dance["introduction_bars"], dance["quick_from_bar"]) == (4, 33)


def test_tempo_introduction_and_parts_stand_on_the_card(client: TestClient) -> None:
    event = a_team_dance(client)
    entries = client.get(f"/api/events/{event}/plan").json()["sets"][0]["entries"]
    assert [each["plan"]["tune"]["tempo_bpm"] for each in entries] == [120, 100, 100]
    card = words(client.get(f"/events/{event}/set-cards.pdf").content)
    assert "strict 120" in card
    assert "4 parts · once through" in card
    assert card.count("2 parts · twice through") == 2
    assert "(new tempo 100, new metre 2/2)" in card


def test_the_introduction_is_the_dances_own(client: TestClient) -> None:
    # 4 bars of four beats at 120 are 8 s; the tunes alone last 148.8 - 8 s
    event = a_team_dance(client)
    (slot,) = client.get(f"/api/events/{event}/plan").json()["slots"]
    entries = client.get(f"/api/events/{event}/plan").json()["sets"][0]["entries"]
    tunes = [each["plan"]["tune"]["seconds"] for each in entries]
    assert tunes[0] + 2 * tunes[1] + 2 * tunes[2] == pytest.approx(148.8 - 8, abs=0.05)
    assert slot["seconds"] == pytest.approx(148.8, abs=0.05)


def test_its_duration_is_known_to_the_second(client: TestClient) -> None:
    # Highland Dance: le Team Dance, bagpipe.it, 12 Jul 2008: a 4-bar introduction, 4 + 8 steps of
    # 8 bars at 120 and 100; (4+32) x 4/120 + 64 x 2/100 minutes = 148.8 s
    event = a_team_dance(client)
    assert dance_of(client, event)["seconds"] == pytest.approx(148.8, abs=0.05)
    assert client.get(f"/api/events/{event}/plan").json()["seconds"] == pytest.approx(
        148.8, abs=0.05
    )
    assert "2 min 29 s (148.8 s)" in client.get(f"/events/{event}").text


def test_tunes_that_do_not_fill_the_steps_are_told(client: TestClient) -> None:
    event = a_team_dance(client)
    form = client.get("/api/sets/1").json()
    changed = {key: form[key] for key in ("number", "name", "dance", "occasion", "entries")}
    client.put("/api/sets/1", json={**changed, "steps": [4, 6]}, headers={"If-Match": "*"})
    codes = [each["code"] for each in client.get(f"/api/events/{event}/plan").json()["findings"]]
    assert "dance_not_filled" in codes


@pytest.mark.parametrize("steps", [[4], [0, 8], [4, 8, 2]])
def test_steps_that_do_not_fit_the_dance_are_refused(client: TestClient, steps: list[int]) -> None:
    tune = a_tune(client)
    form = {"number": 1, "name": "Team", "entries": [{"tune_key": tune}], "steps": steps}
    answer = client.post("/api/sets", json={**form, "dance": "strathspey-and-half-tulloch"})
    assert answer.status_code == 422
    assert client.get("/api/sets").json() == []


def printed(demo: TestClient) -> str:
    """The music of the dance, as far as the next tune."""
    paper = words(demo.get("/events/4/phrased-music.pdf?ask=done").content)
    return paper[: paper.index("The Weathercock of Cobbleharr")]


def test_the_printed_music_lists_what_is_left_off_with_its_reason(demo: TestClient) -> None:
    music = printed(demo)
    assert "No marks: the licence leaves no marks here: play it as written." in music
    left_off = music[music.index("Left off on this occasion") :]
    assert "The licence leaves nothing across the bar: part 1, bars 1, 2 and 3, beat 1." in left_off


def lean_by_hand(demo: TestClient) -> None:
    """A lean on the first note, which the drums' strict beat at a dance has no room for."""
    said = {"tune_key": "9", "will": "locked", "move": "lean", "part": 1, "bar": 1, "index": 0}
    answer = demo.post("/api/events/4/hand-marks", json=said, headers={"If-Match": "*"})
    assert answer.status_code == 201, answer.text


def test_a_mark_by_hand_above_the_ceiling_is_left_off_the_music_and_listed(
    demo: TestClient,
) -> None:
    lean_by_hand(demo)
    plan = demo.get("/api/events/4/plan").json()["sets"][0]["entries"][0]["plan"]
    assert [mark["drums"] for mark in plan["marks"]] == ["conflict"], "the pages show it as one"
    told = "Lean set by hand goes beyond what dance accompaniment allows: part 1, bar 1, beat 1."
    music = printed(demo)
    assert told in music[music.index("Left off on this occasion") :]
    assert "No marks:" in music
    assert "lean low A" not in words(demo.get("/events/4/set-cards.pdf").content)
    assert "one conflict to settle first" in words(demo.get("/events/4/drum-sheet.pdf").content)


def test_what_somebody_takes_on_themselves_is_printed_with_their_name(demo: TestClient) -> None:
    lean_by_hand(demo)
    lift = {"across_bar": "full", "lifted_by": "Morna Gristhwaite"}
    put = demo.put("/api/events/4/tunes/9/lift", json=lift, headers={"If-Match": "*"})
    assert put.is_success, put.text
    music = printed(demo)
    assert "Lifted above the occasion's ceiling by Morna Gristhwaite" in music
    assert "goes beyond what dance accompaniment allows" not in music
    assert "No marks:" not in music


def test_marks_above_the_ceiling_are_left_off_the_music_and_listed(demo: TestClient) -> None:
    plans = [
        entry["plan"]
        for one in demo.get("/api/events/4/plan").json()["sets"]
        for entry in one["entries"]
    ]
    layers = [plan["licence"]["layers"] for plan in plans]
    assert all(layer["across_phrase"] == "none" for layer in layers)
    made = {mark["move"] for plan in plans for mark in plan["marks"]}
    assert "breathe" not in made
    left_out = [each["why"] for plan in plans for each in plan["left_out"]]
    assert any("the licence leaves nothing" in why for why in left_out)


def test_a_country_dance_has_turns_of_its_own_bars_and_a_speed_in_bars_a_minute(
    client: TestClient,
) -> None:
    # RSCDS, Types of tunes: 48 bars a turn also occur; 58 bars a minute: Quick Tempo,
    # scottish-country-dancing-dictionary.com; 8 x 48 bars at 58 a minute are 397.2 s
    tune = an_outline(client, "The Long Barn", "round reel", "2/2", 6)
    entries = [{"tune_key": tune, "tempo_bpm": 116, "times_through": 8}]
    form = {"dance": "country-reel", "steps": [8], "bars_per_step": 48, "occasion": "dance"}
    one = a_set(client, entries=entries, **form)
    event = an_event(client, one, occasion="dance")
    dance = dance_of(client, event)
    assert (dance["bars"], dance["bars_a_minute"]) == (384, 58)
    assert dance["seconds"] == pytest.approx(384 / 58 * 60, abs=0.001)
    found = client.get(f"/api/events/{event}/plan").json()["findings"]
    assert not [each for each in found if each["code"].startswith("dance")]
    page = client.get(f"/events/{event}").text
    assert "116 beats a minute (58 bars a minute)" in page
    assert "<dt>Steps</dt><dd>8x48</dd>" in page
    assert 'name="steps" type="text" value="8x48"' in client.get(f"/sets/{one}").text


def test_a_dance_whose_beats_are_not_on_record_takes_them_from_its_tune(client: TestClient) -> None:
    tune = an_outline(client, "The Bonnet", "strathspey", "4/4", 4)
    entries = [{"tune_key": tune, "tempo_bpm": 100}]
    form = {"dance": "blue-bonnets", "steps": [4], "occasion": "dance"}
    event = an_event(client, a_set(client, entries=entries, **form), occasion="dance")
    # 4 bars of introduction and 4 steps of 8 bars, four beats a bar, at 100: from memory, no more
    assert dance_of(client, event)["seconds"] == pytest.approx(36 * 4 * 60 / 100)
