"""The pages of sets: tunes are added, ordered and taken out without a script."""

import html
import re

from fastapi.testclient import TestClient

from tests.api.library import a_set, a_tune, march, upload


def fields_of(page: str) -> dict[str, str]:
    """Every field of a page's form with what stands in it."""
    found = dict(re.findall(r'<input[^>]* name="([^"]+)"[^>]* value="([^"]*)"', page))
    found |= dict(re.findall(r'<input[^>]* value="([^"]*)"[^>]* name="([^"]+)"', page))
    return found


def titles(page: str) -> list[str]:
    return re.findall(r'<h3><span class="set-number">\d+</span><a [^>]*>([^<]+)</a>', page)


def press(client: TestClient, address: str, button: str, **typed: str) -> str:
    fields = fields_of(client.get(address).text)
    return client.post(address, data={**fields, "do": button, **typed}).text


def test_the_list_says_how_long_each_set_lasts(demo: TestClient) -> None:
    assert "3 min 4 s" in demo.get("/sets").text


def test_a_new_set_begins_with_its_first_tune(demo: TestClient) -> None:
    page = demo.post("/sets/new", data={"number": "9", "name": "Dusk", "do": "add 1"})
    assert page.url.path == "/sets/7"
    assert titles(page.text) == ["The Ferry Lamps of Ternhollow"]


def test_down_moves_a_tune_and_what_was_typed_moves_along(demo: TestClient) -> None:
    typed = {"entries.0.start_line": "from the boat"}
    page = press(demo, "/sets/1", "down 0", **typed)
    assert titles(page) == ["Skelder Row in the Rain", "The Ferry Lamps of Ternhollow"]
    assert fields_of(page)["entries.1.start_line"] == "from the boat"


def test_take_out_leaves_the_others(demo: TestClient) -> None:
    assert titles(press(demo, "/sets/1", "remove 0")) == ["Skelder Row in the Rain"]


def test_add_puts_a_tune_at_the_end(demo: TestClient) -> None:
    assert titles(press(demo, "/sets/1", "add 3"))[-1] == "The Keepers of Whinfathom Light"


def test_a_tempo_nobody_can_play_is_said_beside_its_field(demo: TestClient) -> None:
    fields = fields_of(demo.get("/sets/1").text) | {"entries.1.tempo_bpm": "9"}
    page = demo.post("/sets/1", data=fields)
    assert page.status_code == 422
    assert 'id="entries.1.tempo_bpm-fault"' in page.text
    assert "This must be 20 or more (it was &#39;9&#39;)." in page.text
    assert 'name="entries.1.tempo_bpm" type="text" value="9"' in page.text


def test_a_dance_gets_its_steps(demo: TestClient) -> None:
    fields = fields_of(demo.get("/sets/5").text) | {"dance": "half-tulloch", "steps": "8"}
    assert demo.post("/sets/5", data=fields).status_code == 200
    assert fields_of(demo.get("/sets/5").text)["steps"] == "8"


def test_a_set_that_an_event_needs_stays(demo: TestClient) -> None:
    page = demo.post("/sets/1/delete", data={"version": "1"})
    assert page.status_code == 409
    assert "Lamp Day street parade" in page.text


def found(page: str) -> list[str]:
    """The tunes that a page offers to add."""
    return re.findall(r'value="add \d+">Add<span class="unseen"> ([^<]+)</span>', page)


def test_a_tune_is_looked_for_without_a_script_and_what_was_typed_stays(demo: TestClient) -> None:
    typed = {"words": "rain", "entries.0.start_line": "from the boat"}
    page = press(demo, "/sets/1", "look", **typed)
    assert found(page) == ["Skelder Row in the Rain"]
    assert fields_of(page)["entries.0.start_line"] == "from the boat"
    assert fields_of(page)["words"] == "rain"


def test_looking_in_a_new_set_stores_nothing_and_loses_nothing(demo: TestClient) -> None:
    page = demo.post(
        "/sets/new", data={"number": "9", "name": "Dusk", "words": "rain", "do": "look"}
    )
    assert found(page.text) == ["Skelder Row in the Rain"]
    assert fields_of(page.text)["name"] == "Dusk"
    assert len(demo.get("/api/sets").json()) == 6


def test_a_script_gets_the_same_tunes_as_a_piece_of_the_page(demo: TestClient) -> None:
    piece = demo.get("/sets/tunes?words=rain").text
    assert found(piece) == ["Skelder Row in the Rain"]
    assert "<html" not in piece


def test_many_tunes_are_offered_a_page_at_a_time(client: TestClient) -> None:
    book = b"".join(march(f"Tune {number:03}", number) + b"\n" for number in range(1, 16))
    assert upload(client, book, tune="all").status_code == 201
    page = client.get("/sets/new").text
    assert len(found(page)) == 10
    assert "15 tunes, 1 to 10 on this page" in page
    more = client.post("/sets/new", data={"do": "look 2", "name": "Dusk"}).text
    assert found(more) == [f"Tune {number:03}" for number in range(11, 16)]


def test_a_key_that_is_no_tune_is_refused_and_the_set_stays(demo: TestClient) -> None:
    fields = fields_of(demo.get("/sets/1").text)
    for key in ("999", "x", "1 or 1=1"):
        page = demo.post("/sets/1", data={**fields, "do": f"add {key}"})
        assert page.status_code in (400, 422), key
    assert len(demo.get("/api/sets/1").json()["entries"]) == 2


def undo_said(page: str) -> str:
    """What the button says that undo would take back."""
    said = re.findall(r'name="do" value="undo">([^<]+)<', page)
    return html.unescape(said[0]) if said else ""


def test_undo_goes_back_step_by_step_and_says_what_it_takes_back(demo: TestClient) -> None:
    before = demo.get("/api/sets/1").json()
    assert undo_said(demo.get("/sets/1").text) == ""
    press(demo, "/sets/1", "down 0")
    page = press(demo, "/sets/1", "add 3")
    assert undo_said(page) == "Undo adding “The Keepers of Whinfathom Light”"
    page = press(demo, "/sets/1", "undo")
    assert undo_said(page) == "Undo the change of order"
    page = press(demo, "/sets/1", "undo")
    assert undo_said(page) == ""
    after = demo.get("/api/sets/1").json()
    same = ("number", "name", "occasion", "steps", "dance", "weight", "entries")
    assert {name: after[name] for name in same} == {name: before[name] for name in same}


def test_typing_on_in_one_place_is_one_change_to_undo(demo: TestClient) -> None:
    for tempo in ("80", "81", "82"):
        press(demo, "/sets/1", "", **{"entries.0.tempo_bpm": tempo})
    assert undo_said(demo.get("/sets/1").text).startswith("Undo what was typed for “")
    page = press(demo, "/sets/1", "undo")
    assert undo_said(page) == ""
    assert fields_of(page)["entries.0.tempo_bpm"] == "86"


def test_undo_takes_back_first_what_is_typed_and_not_saved(demo: TestClient) -> None:
    press(demo, "/sets/1", "down 0")
    page = press(demo, "/sets/1", "undo", name="Never kept")
    assert fields_of(page)["name"] != "Never kept"
    assert titles(page)[0] == "Skelder Row in the Rain"


def test_undo_leaves_out_a_tune_that_is_gone_from_the_library(client: TestClient) -> None:
    kept, gone = a_tune(client, "Kept"), a_tune(client, "Gone")
    a_set(client, kept, gone)
    press(client, "/sets/1", "remove 1")
    client.delete(f"/api/tunes/{gone}", headers={"If-Match": "*"})
    assert titles(press(client, "/sets/1", "undo")) == ["Kept"]


def test_a_tune_is_moved_to_any_place_at_once(demo: TestClient) -> None:
    press(demo, "/sets/1", "add 3")
    page = press(demo, "/sets/1", "move 2 0")
    assert titles(page)[0] == "The Keepers of Whinfathom Light"
    assert len(titles(press(demo, "/sets/1", "move 2 9"))) == 3


def test_a_parade_set_says_how_far_it_carries_the_band(demo: TestClient) -> None:
    """Independent sum: every felt beat of introduction and tunes is one pace (common practice)."""
    demo.put("/api/band", json={"name": "Any", "pace_m": 0.75}, headers={"If-Match": "*"})
    page = demo.get("/sets/1").text
    seconds, beats_a_minute = 184, 86  # "3 min 4 s", both marches at 86
    metres = int(re.findall(r"carries the band (\d+) m", page)[0])
    assert abs(metres - seconds * beats_a_minute / 60 * 0.75) < 1


def test_window_and_margins_stand_on_the_set_before_anybody_enters(client: TestClient) -> None:
    # RSPBA as reported on 10 Mar 2026: Grade 2, one medley of 4 to 6 minutes
    outline = {"metre": "2/4", "parts": [[44, 1]] * 4}
    form = {"title": "Long", "idiom": "march", "outline": outline}
    tune = client.post("/api/tunes", json=form).json()["key"]
    entries = [{"tune_key": tune, "tempo_bpm": 60}]
    entered = {"ruleset": "rspba-2026-grade-2-medley", "introduction_beats": 0}
    one = a_set(client, entries=entries, **entered)
    page = client.get(f"/sets/{one}").text
    assert "RSPBA 2026, grade 2, medley: 4:00 to 6:00." in page
    assert "As planned 5 min 52 s, inside by 8.0 s" in page
    assert "3 % slower 6 min 3 s, too long by 2.9 s" in page
    assert "Confirm with your own body&#39;s current rules." in page
    assert 'id="entered" data-live></div>' in client.get(f"/sets/{a_set(client, tune)}").text


def test_a_danced_set_says_how_long_the_dance_is_and_what_does_not_suit_it(
    demo: TestClient,
) -> None:
    page = demo.get("/sets/5").text
    assert "Strathspey and Half Tulloch, 4+8 steps: 100 bars, 2 min 29 s (148.8 s)." in page
    assert "Confirm with the dancers or their teacher." in page


def test_a_part_that_is_not_there_is_said_beside_its_field(demo: TestClient) -> None:
    fields = fields_of(demo.get("/sets/1").text) | {"entries.1.parts": "9"}
    page = demo.post("/sets/1", data=fields)
    assert page.status_code == 422
    assert 'id="entries.1.parts-fault"' in page.text
    assert "it has parts 1 to" in page.text


def test_what_belongs_to_no_single_field_has_a_place_that_the_notice_leads_to(
    demo: TestClient,
) -> None:
    fields = fields_of(demo.get("/sets/1").text) | {"entries.1.tune_key": "999"}
    page = demo.post("/sets/1", data=fields)
    assert page.status_code == 422
    assert 'href="#entries"' in page.text
    assert 'id="entries" ' in page.text
