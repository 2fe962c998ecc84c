"""Parade set list: everything a pipe-major asks of the street, before anyone leaves home.

Route length, pace length, tempo, step-off -> walking minutes, times through each set, metres a set,
rest share; warns on speed against tempo; blocks mixed metres in a massed set; shows who cannot play
what; a late change of slot re-times all and reprints with a new version.
"""

from typing import Any

import pytest
from fastapi.testclient import TestClient

from tests.api.library import a_person, a_set, a_tune, an_event, if_match, march, upload
from tests.api.printing.paper import words

ROUTE = {"length_m": 900, "pace_m": 0.75, "steps_per_minute": 84}
# a march of 8 bars of two, repeated, after 8 beats of rolls: 40 paces of 0.75 m are 30 m


def a_parade(client: TestClient, **more: Any) -> str:
    """Two sets of one march each, half a minute of rest between, stepping off at half past ten."""
    sets = [a_set(client, a_tune(client, f"March {number}"), number=number) for number in (1, 2)]
    items = [{"set_key": sets[0], "gap_after_s": 30}, {"set_key": sets[1]}]
    clock = {"meet": "09:15", "tune_up": "09:45", "step_off": "10:30", "end": "11:30"}
    return an_event(client, **{"items": items, "route": ROUTE, "clock": clock, **more})


def street(client: TestClient, event: str) -> Any:
    return client.get(f"/api/events/{event}/sums").json()["street"]


def findings(client: TestClient, event: str) -> dict[str, Any]:
    found = client.get(f"/api/events/{event}/plan").json()["findings"]
    return {each["code"]: each for each in found}


def test_route_pace_and_tempo_give_the_walking_minutes(client: TestClient) -> None:
    sums = street(client, a_parade(client))
    assert sums["metres_per_minute"] == pytest.approx(63)
    assert sums["walking_minutes"] == pytest.approx(900 / 63, abs=0.001)


def test_each_set_has_its_metres_and_its_place_on_the_route(client: TestClient) -> None:
    first, second = street(client, a_parade(client))["items"]
    assert (first["from_m"], first["metres"]) == (0, pytest.approx(30))
    assert second["from_m"] == pytest.approx(30 + 31.5)  # half a minute of rest is 31.5 m


def test_each_set_starts_by_the_clock(client: TestClient) -> None:
    first, second = street(client, a_parade(client))["items"]
    assert (first["start"], first["from_s"]) == ("10:30:00", 0)
    # 40 beats at 84, and half a minute of rest
    assert second["from_s"] == pytest.approx(40 / 84 * 60 + 30)
    assert second["start"].startswith("10:30:58")


def test_slopes_and_halts_are_walked_stretch_by_stretch(client: TestClient) -> None:
    stretches = [
        {"length_m": 500, "name": "the lade", "halt_s": 90},
        {"length_m": 400, "slope": "up", "name": "the brae"},
    ]
    route = {**ROUTE, "stretches": stretches}
    event = a_parade(client, route=route)
    factor = client.get("/api/rules/drill.street.pace_up").json()["value"]
    sums = street(client, event)
    walking = 500 / 63 + 400 / (63 * factor)
    assert sums["walking_minutes"] == pytest.approx(walking, abs=0.001)
    assert sums["minutes"] == pytest.approx(walking + 1.5, abs=0.001)
    assert [each["from_m"] for each in sums["stretches"]] == [0, 500]
    page = client.get(f"/events/{event}").text
    assert "<h3>Stretches</h3>" in page
    assert "(1 min 30 s of it in halts)" in page


def a_parade_past(client: TestClient, wanted: str, from_m: float, to_m: float) -> str:
    place = {"name": "St Wick's", "wanted": wanted, "from_m": from_m, "to_m": to_m}
    return a_parade(client, route={**ROUTE, "places": [place]})


def test_it_warns_of_playing_past_a_church_and_says_what_to_do(client: TestClient) -> None:
    # set 1 is heard on the first 30 m, set 2 from 61.5 m on; its parts are 16 beats, or 12 m
    event = a_parade_past(client, "silent", 20, 40)
    text = findings(client, event)["not_silent"]["text"]
    assert text.startswith("Set 1 plays for 10 s and 10 m of it (20 to 40 m, ")
    assert text.endswith("stop at the end of part 1, time 1 of March 1, 2 s and 2 m before it.")
    page = client.get(f"/events/{event}").text
    assert "Set 1 plays for 10 s and 10 m of it" in page
    assert "<b>Set 1 plays on for 10 s, 10 m</b>. Stop at the end of part 1, time 1" in page


def test_it_warns_of_silence_at_a_saluting_base_and_says_what_to_do(client: TestClient) -> None:
    # the tune of set 2 sounds from 61.5 m and 8 paces of rolls on: 67.5 m, 12.9 s after 54 m
    event = a_parade_past(client, "sounding", 54, 70)
    text = findings(client, event)["not_sounding"]["text"]
    assert text.startswith("no tune sounds for 13 s and 14 m of it (54 to 70 m, ")
    assert text.endswith("start Set 2 13 s earlier.")


def test_a_place_that_is_passed_as_wanted_says_so_and_stands_on_the_sheets(
    client: TestClient,
) -> None:
    event = a_parade_past(client, "silent", 32, 60)
    assert "not_silent" not in findings(client, event)
    assert street(client, event)["places"][0]["is_as_wanted"]
    assert "as wanted" in client.get(f"/events/{event}").text
    for sheet in ("call-sheet", "running-order"):
        said = words(client.get(f"/events/{event}/{sheet}.pdf").content)
        assert "St Wick's: be silent" in said
        assert "32 to 60 m" in said


def test_times_through_and_rest_share_fill_the_walk(client: TestClient) -> None:
    sums = street(client, a_parade(client))
    round_m, walk_s = 30 + 31.5 + 30, 900 / 63 * 60
    assert sums["rounds_to_fill"] == pytest.approx(900 / round_m, rel=1e-6)
    assert sums["rounds_needed"] == 10
    assert sums["rest_share"] == pytest.approx(1 - 2 * (40 / 84 * 60) / walk_s, abs=1e-4)
    assert [each["times_to_fill"] for each in sums["items"]] == [30, 30]


def test_it_warns_where_asked_speed_and_tempo_disagree(client: TestClient) -> None:
    # 4 mph, 107.3 m a minute, needs about 141 paces a minute at 30 inches
    asked = {**ROUTE, "pace_m": 0.762, "asked_m_per_minute": 107.29}
    event = a_parade(client, route=asked)
    assert "needs 141 paces a minute" in findings(client, event)["speed_against_tempo"]["text"]
    assert "needs 141 paces a minute" in client.get(f"/events/{event}").text


def a_mixed_parade(client: TestClient) -> str:
    """A massed parade with a 2/4 and a 6/8 in one set."""
    jig = march("Jig", bars="{g}A3 {g}B3|{g}c3 {g}d3|{g}e3 {g}f3|{g}e3 {g}A3|")
    six = str(upload(client, jig.replace(b"M:2/4", b"M:6/8")).json()[0]["key"])
    mixed = a_set(client, a_tune(client), six)
    massed = {"occasion": "parade", "sort": "massed"}
    return an_event(client, mixed, setting=massed)


def test_it_blocks_mixed_metres_in_a_massed_set(client: TestClient) -> None:
    event = a_mixed_parade(client)
    found = findings(client, event)["mixed_metres"]
    assert found["gravity"] == "refuse"
    assert "keep one time signature a set" in found["text"]
    assert client.get(f"/api/events/{event}/plan").json()["is_ready_to_print"] is False
    assert "keep one time signature a set: here are 2/4 and 6/8." in (
        client.get(f"/events/{event}").text
    )


@pytest.mark.parametrize(
    "sheet", ["set-cards.pdf", "phrased-music.pdf?ask=done", "drum-sheet.pdf", "running-order.pdf",
              "joins.pdf", "pack.zip?ask=done"]
)  # fmt: skip
def test_nothing_is_printed_from_which_mixed_metres_would_be_played(
    client: TestClient, sheet: str
) -> None:
    event = a_mixed_parade(client)
    answer = client.get(f"/events/{event}/{sheet}")
    assert answer.status_code == 409
    assert (
        "Mill Day cannot be printed yet: Set 1: massed bands and long columns keep" in answer.text
    )
    # nobody has to miss the bus for it: times and places are printed all the same
    assert client.get(f"/events/{event}/call-sheet.pdf").status_code == 200


def test_with_one_metre_again_it_is_printed(client: TestClient) -> None:
    event = a_mixed_parade(client)
    kept = client.get("/api/sets/1").json()
    changed = {"number": 1, "name": kept["name"], "entries": kept["entries"][:1]}
    assert client.put("/api/sets/1", json=changed, headers=if_match(1)).status_code == 200
    assert client.get(f"/events/{event}/set-cards.pdf").status_code == 200


def test_it_asks_for_standard_scores_where_bands_are_massed(client: TestClient) -> None:
    # common practice: massed bands play the settings and drum scores that all of them know
    event = a_parade(client, setting={"occasion": "parade", "sort": "massed"})
    assert "no_standard_setting" in findings(client, event)
    page = client.get(f"/events/{event}").text
    assert "none is noted for March 1." in page
    assert "none is noted for March 2." in page
    for number in ("1", "2"):
        tune = client.get(f"/api/tunes/{number}").json()
        said = {"title": tune["title"], "standard_setting": "the county book, drum score 3"}
        put = client.put(f"/api/tunes/{number}", json=said, headers=if_match(tune["version"]))
        assert put.json()["standard_setting"] == "the county book, drum score 3"
    assert "no_standard_setting" not in findings(client, event)
    assert "the county book, drum score 3" in client.get("/tunes/1").text
    drums = "standard setting: the county book, drum score 3"
    assert drums in words(client.get(f"/events/{event}/drum-sheet.pdf").content)
    assert drums in client.get(f"/events/{event}/drums").text


def test_a_massed_set_of_one_metre_is_not_blocked(client: TestClient) -> None:
    setting = {"occasion": "parade", "sort": "massed"}
    event = a_parade(client, setting=setting)
    assert "mixed_metres" not in findings(client, event)
    assert client.get(f"/api/events/{event}/plan").json()["is_ready_to_print"] is True


def test_the_sound_delay_along_the_column_is_shown(client: TestClient) -> None:
    # 20 m are 58 ms at 343 m/s, 8.2 % of a beat at 84
    event = a_parade(client, route={**ROUTE, "column_m": 20})
    assert street(client, event)["sound_delay"]["ms"] == pytest.approx(58, abs=0.5)
    assert "the front rank is heard 58 ms late at the back" in client.get(f"/events/{event}").text


def test_it_shows_who_cannot_play_what(client: TestClient) -> None:
    event = a_parade(client)
    person = a_person(client, "Wil Tarn")
    said = {"answers": [{"person_key": person, "answer": "yes"}]}
    client.put(f"/api/events/{event}/line-up", json=said, headers=if_match(1))
    levels = {"levels": {"2": "pipes-standing"}}
    client.put(f"/api/people/{person}/readiness", json=levels, headers=if_match(1))
    gaps = "Wil Tarn is asked for “March 2” (on pipes, marching) and has it on pipes, standing."
    assert gaps in client.get(f"/events/{event}").text


def test_a_late_change_of_slot_re_times_all_and_says_so(client: TestClient) -> None:
    event = a_parade(client)
    before = client.get(f"/api/events/{event}/plan").json()["slots"]
    answer = client.post(f"/api/events/{event}/day", json={"move_minutes": 20}, headers=if_match(1))
    after = client.get(f"/api/events/{event}/plan").json()["slots"]
    assert [each["start"][:8] for each in before] == ["10:30:00", "10:30:58"]
    assert [each["start"][:8] for each in after] == ["10:50:00", "10:50:58"]
    assert "Set 1 starts at 10:50, was 10:30." in answer.json()["said"]
    assert "Set 2 starts at 10:50:58, was 10:30:58." in answer.json()["said"]


@pytest.mark.parametrize("sheet", ["set-cards", "running-order", "drum-sheet", "call-sheet"])
def test_every_sheet_is_printed_again_with_a_new_version(client: TestClient, sheet: str) -> None:
    event = a_parade(client)
    address = f"/events/{event}/{sheet}.pdf"
    assert "version 1, made" in words(client.get(address).content)
    client.post(f"/api/events/{event}/day", json={"move_minutes": 20}, headers=if_match(1))
    assert "version 2, made" in words(client.get(address).content)


def test_the_reprint_carries_the_new_version_and_the_new_time(client: TestClient) -> None:
    event = a_parade(client)
    address = f"/events/{event}/call-sheet.pdf"
    old = client.get(address)
    client.post(f"/api/events/{event}/day", json={"move_minutes": 20}, headers=if_match(1))
    new = client.get(address)
    assert old.headers["etag"] != new.headers["etag"]
    assert "version 1, made" in words(old.content)
    assert "version 2, made" in words(new.content)
    assert "10:50" in words(new.content)
