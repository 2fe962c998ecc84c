"""What is played of one tune of a set, said on a page of its own."""

from __future__ import annotations

from fastapi.testclient import TestClient

from tests.api.pages.form_reader import fields_of

FIRST, PAGE = "/sets/1/tunes/1", "/sets/1/tunes/2"
TITLE = "Skelder Row in the Rain"


def kept(demo: TestClient) -> dict[str, object]:
    entry: dict[str, object] = demo.get("/api/sets/1").json()["entries"][1]
    return entry


def saved(demo: TestClient, **typed: str) -> str:
    fields = fields_of(demo.get(PAGE).text, PAGE)
    changed = {
        name: typed.get(name.replace(".", "_"), values[0]) for name, values in fields.items()
    }
    return demo.post(PAGE, data=changed).text


def test_the_page_starts_with_the_tune_as_printed(demo: TestClient) -> None:
    page = demo.get(PAGE).text
    assert f"What is played of {TITLE}" in page
    assert "Part 1:" in page
    saved(demo)
    assert (kept(demo)["parts"], kept(demo)["part_times"]) == ([], [])


def test_parts_their_order_and_their_repeats_are_kept(demo: TestClient) -> None:
    saved(demo, turns_0_part="2", turns_0_times="1", turns_1_part="1")
    assert (kept(demo)["parts"][:2], kept(demo)["part_times"][:2]) == ([2, 1], [1, 0])
    assert fields_of(demo.get(PAGE).text, PAGE)["turns.0.times"] == ["1"]
    assert "2 once, 1" in demo.get("/sets/1").text


def test_parts_that_are_left_out_are_said_at_the_event_and_not_drawn(demo: TestClient) -> None:
    saved(demo, turns_1_part="")
    assert "Part 2 is not played." in demo.get("/events/1").text
    key = kept(demo)["tune_key"]
    page = demo.get(f"/events/1/tunes/{key}").text
    assert 'id="p1b1e0"' in page
    assert 'id="p2b1e0"' not in page


def test_the_set_lasts_as_long_as_what_is_played(demo: TestClient) -> None:
    before = demo.get("/sets/1").text
    assert "3 min 4 s" in before
    saved(demo, turns_0_times="1")
    assert "3 min 4 s" not in demo.get("/sets/1").text


def test_nothing_played_is_refused_beside_the_parts(demo: TestClient) -> None:
    fields = fields_of(demo.get(PAGE).text, PAGE)
    empty = {name: "" if name.startswith("turns.") else value[0] for name, value in fields.items()}
    page = demo.post(PAGE, data=empty)
    assert page.status_code == 422
    assert 'id="parts-fault"' in page.text
    assert "Nothing of the tune would be played" in page.text
    assert kept(demo)["parts"] == []


def test_a_part_the_tune_does_not_have_is_refused(demo: TestClient) -> None:
    fields = {name: value[0] for name, value in fields_of(demo.get(PAGE).text, PAGE).items()}
    page = demo.post(PAGE, data={**fields, "turns.0.part": "39"})
    assert page.status_code == 422
    assert "has no part 39; choose parts 1 to 2" in page.text


def test_a_tune_the_set_does_not_have_is_not_found(demo: TestClient) -> None:
    assert demo.get("/sets/1/tunes/9").status_code == 404


def test_what_somebody_changed_meanwhile_is_not_overwritten(demo: TestClient) -> None:
    fields = {name: value[0] for name, value in fields_of(demo.get(PAGE).text, PAGE).items()}
    saved(demo, turns_0_times="1")
    assert demo.post(PAGE, data=fields).status_code == 412


def test_an_altered_last_bar_and_a_link_are_kept_and_counted(demo: TestClient) -> None:
    fields = {name: value[0] for name, value in fields_of(demo.get(FIRST).text, FIRST).items()}
    page = demo.post(FIRST, data={**fields, "last_bar": "{g}f2 e2", "link": "e4 | {g}f2 e2"})
    assert page.status_code == 200, page.text
    entry = demo.get("/api/sets/1").json()["entries"][0]
    assert (entry["last_bar"], entry["link"]) == ("{g}f2 e2", "e4 | {g}f2 e2")
    # Two bars of two beats at 86 a minute last 2.8 s more.
    assert "3 min 7 s" in demo.get("/sets/1").text


def test_saving_the_set_keeps_the_bars_of_its_tunes(demo: TestClient) -> None:
    test_an_altered_last_bar_and_a_link_are_kept_and_counted(demo)
    fields = {name: value[0] for name, value in fields_of(demo.get("/sets/1").text).items()}
    assert demo.post("/sets/1", data={**fields, "do": "down 0"}).status_code == 200
    entry = demo.get("/api/sets/1").json()["entries"][1]
    assert (entry["last_bar"], entry["link"]) == ("{g}f2 e2", "e4 | {g}f2 e2")


def test_a_bar_that_does_not_add_up_is_refused_beside_its_field(demo: TestClient) -> None:
    fields = {name: value[0] for name, value in fields_of(demo.get(FIRST).text, FIRST).items()}
    page = demo.post(FIRST, data={**fields, "last_bar": "f2", "link": "e4"})
    assert page.status_code == 422
    assert 'id="last_bar-fault"' in page.text
    assert "The altered last bar holds 1 crotchet where 2/4 has 2 crotchets; make it" in page.text
    assert "f2</textarea>" in page.text
    link = demo.post(FIRST, data={**fields, "link": "e4 | e2 | e4"})
    assert 'id="link-fault"' in link.text
    assert "The link, bar 2, holds 1 crotchet" in link.text
    assert demo.get("/api/sets/1").json()["entries"][0]["last_bar"] == ""


def test_the_event_plans_and_prints_what_the_set_plays(demo: TestClient) -> None:
    test_an_altered_last_bar_and_a_link_are_kept_and_counted(demo)
    page = demo.get("/events/1")
    assert page.status_code == 200
    assert "is altered the last time through" in page.text
    assert "Two bars before the next tune" in page.text
    assert demo.get("/events/1/joins.pdf").status_code == 200


def test_attack_and_cut_off_stand_on_the_event_and_count(demo: TestClient) -> None:
    fields = {name: value[0] for name, value in fields_of(demo.get(PAGE).text, PAGE).items()}
    demo.post(PAGE, data={**fields, "attack": "rolls", "cut_off": "end-of-part"})
    assert (kept(demo)["attack"], kept(demo)["cut_off"]) == ("rolls", "end-of-part")
    # Two three-pace rolls, eight beats, at 86 a minute last 5.6 s more.
    assert "3 min 10 s" in demo.get("/sets/1").text
    page = demo.get("/events/1").text
    assert "Two three-pace rolls, then all together. From the last bar" in page
    assert "At the end of a part, after its repeat. End of part 2" in page


def test_an_attack_nobody_knows_is_refused_beside_its_field(demo: TestClient) -> None:
    fields = {name: value[0] for name, value in fields_of(demo.get(PAGE).text, PAGE).items()}
    page = demo.post(PAGE, data={**fields, "attack": "with a bang"})
    assert page.status_code == 422
    assert 'id="attack-fault"' in page.text


def test_the_plan_as_data_has_turns_altered_bar_and_link(demo: TestClient) -> None:
    plan = demo.get("/api/events/2/plan").json()
    quernwater = next(each for each in plan["sets"] if each["name"] == "Quernwater")
    strathspey, hornpipe = quernwater["entries"][2:4]
    assert strathspey["turns"] == [{"part": 1, "times": 2}, {"part": 2, "times": 2}]
    assert strathspey["altered_bar"] == {"part": 2, "bar": 4, "ending": 2}
    bars = {(bar["bar"], bar["ending"]) for bar in strathspey["plan"]["drums"]["bars"]}
    assert {(4, 1), (4, 2)} <= bars
    assert (strathspey["link"], hornpipe["altered_bar"]) == (None, None)
    # A pick-up of two semiquavers and a bar at 80 crotchets a minute: 2 crotchets, 1.5 s.
    assert hornpipe["link"]["tune"]["seconds"] == 1.5


def test_times_through_and_the_printed_last_bar_are_at_hand(demo: TestClient) -> None:
    page = demo.get("/sets/3/tunes/3").text
    assert "as printed, {fg}f3/2d/2 {gef}e3/2c/2 {GdGe}B2 {G}B." in page
    saved(demo, times_through="0")
    assert demo.get("/api/sets/1").json()["entries"][1]["times_through"] == 0
    refused = demo.post(PAGE, data={**first_values(demo), "times_through": "99"})
    assert 'id="times_through-fault"' in refused.text


def first_values(demo: TestClient) -> dict[str, str]:
    return {name: value[0] for name, value in fields_of(demo.get(PAGE).text, PAGE).items()}
