"""The pages of events: planned, changed, explained, without a script."""

import re

from fastapi.testclient import TestClient

from tests.api.pages.form_reader import fields_of


def test_the_page_of_an_event_says_how_free_each_tune_is_and_why(demo: TestClient) -> None:
    page = demo.get("/events/1").text
    assert "The Ferry Lamps of Ternhollow" in page
    assert page.count("<dt>across the bar</dt><dd>none</dd>") == 6
    assert "Drums: strict tempo." in page
    assert 'href="/rules/occasions.parade.own_band.across_bar"' in page


def test_a_parade_without_open_ends_has_nothing_to_get_ready(demo: TestClient) -> None:
    assert "Not ready yet" not in demo.get("/events/1").text


def test_marks_say_where_what_how_much_and_what_the_drums_do(demo: TestClient) -> None:
    page = demo.get("/events/3").text
    assert re.search(r"<td>Part \d, bar.*?, beat \d", page)
    assert re.search(r"<b>\d+ ms (later|earlier|gained)</b>", page)
    assert "wait for the leading drummer&#39;s word" in page


def test_a_tune_where_no_mark_is_right_says_so(demo: TestClient) -> None:
    assert "No notes on file: marks only by hand." in demo.get("/events/1").text


def test_the_street_is_reckoned_in_minutes_and_metres(demo: TestClient) -> None:
    page = demo.get("/events/1").text
    # 1450 m / (86 x 0.762 m) = 22.13 minutes; the 180 m of Skelder Row by paces of 0.95 are 8.7 s
    # more, and the halt is half a minute
    said = "1450 m at 86 paces a minute of 0.762 m on the level take 22 min 46 s (30 s of it in"
    assert said in page


def test_every_sheet_has_its_button(demo: TestClient) -> None:
    page = demo.get("/events/2").text
    for sheet in ("set-cards", "phrased-music", "drum-sheet", "call-sheet"):
        assert f'href="/events/2/{sheet}.pdf"' in page


def test_a_new_event_is_planned_from_the_form_alone(demo: TestClient) -> None:
    fields = fields_of(demo.get("/events/new").text)
    fields |= {
        "name": ["Winter square"], "day": ["2028-01-08"], "setting.occasion": ["parade:massed"],
        "clock.meet": ["10:00"], "add_set": ["1"],
    }  # fmt: skip
    page = demo.post("/events/new", data=fields)
    assert "Ferry Lamps" in page.text, "the set stands in the form, nothing is stored yet"
    page = demo.post("/events/new", data=fields_of(page.text))
    assert page.url.path == "/events/5"
    assert "Parade, massed bands" in page.text.replace("parade, massed", "Parade, massed")
    assert "<dt>within the beat</dt><dd>none</dd>" in page.text


def test_a_form_that_is_saved_unchanged_changes_nothing_but_the_version(demo: TestClient) -> None:
    for number in (1, 2, 3, 4):
        before = demo.get(f"/api/events/{number}").json()
        page = demo.get(f"/events/{number}/edit").text
        assert demo.post(f"/events/{number}/edit", data=fields_of(page)).status_code == 200
        after = demo.get(f"/api/events/{number}").json()
        same = {key for key in before if key not in ("version", "changed_at")}
        assert {key: before[key] for key in same} == {key: after[key] for key in same}


def test_a_day_that_is_none_is_said_beside_its_field_and_the_rest_is_kept(
    demo: TestClient,
) -> None:
    fields = fields_of(demo.get("/events/1/edit").text)
    fields |= {"day": ["19.6.27"], "arrangements.dress": ["in <kilts> & capes"]}
    page = demo.post("/events/1/edit", data=fields)
    assert page.status_code == 422
    assert 'id="day-fault"' in page.text
    assert "This is not a day: write it as 2027-06-19." in page.text
    assert fields_of(page.text)["arrangements.dress"] == ["in <kilts> & capes"]


def test_half_a_route_is_asked_for_its_other_half(demo: TestClient) -> None:
    fields = fields_of(demo.get("/events/2/edit").text) | {"route.length_m": ["900"]}
    page = demo.post("/events/2/edit", data=fields)
    assert page.status_code == 422
    assert 'id="route.pace_m-fault"' in page.text


def test_an_old_page_of_an_event_comes_back_with_what_was_typed(demo: TestClient) -> None:
    fields = fields_of(demo.get("/events/1/edit").text)
    demo.post("/events/1/edit", data=fields | {"name": ["First"]})
    page = demo.post("/events/1/edit", data=fields | {"name": ["Second"]})
    assert page.status_code == 412
    again = fields_of(page.text)
    assert (again["name"], int(again["version"][0]) > int(fields["version"][0])) == (
        ["Second"],
        True,
    )
    assert demo.post("/events/1/edit", data=again).status_code == 200
    assert "<h1>Second</h1>" in demo.get("/events/1").text


def test_an_event_is_deleted_from_its_page(demo: TestClient) -> None:
    fields = fields_of(demo.get("/events/4").text, within="/events/4/delete")
    assert demo.post("/events/4/delete", data=fields).url.path == "/events"
    assert demo.get("/events/4").status_code == 404


def test_the_line_up_keeps_answers_outs_and_harmony(demo: TestClient) -> None:
    before = demo.get("/api/events/1").json()["line_up"]
    fields = fields_of(demo.get("/events/1/line-up").text)
    assert demo.post("/events/1/line-up", data=fields).status_code == 200
    assert demo.get("/api/events/1").json()["line_up"] == before


def test_a_player_sees_what_they_play_and_where_they_are_out(demo: TestClient) -> None:
    people = {person["name"]: person["key"] for person in demo.get("/api/people").json()}
    page = demo.get(f"/players/{people['Fergie Umberleigh']}/events/1").text
    assert "Four tunes to play" in page
    assert page.count('<p class="mine">You are out</p>') == 2
    page = demo.get(f"/players/{people['Ishbel Tarrowan']}/events/1").text
    assert "You play harmony" in page


def test_the_tune_at_an_event_shows_its_marks_in_the_music(demo: TestClient) -> None:
    page = demo.get("/events/3/tunes/9").text
    marked = set(re.findall(r'href="#(p\d+b\d+e\d+n\d+)"', page))
    assert marked
    assert all(f'id="{note}"' in page for note in marked)
    assert page.count('class="mark mark-') == 2 * len(marked), "once wide and once narrow"


def test_a_note_that_a_person_leaves_alone_has_no_mark(demo: TestClient) -> None:
    page = demo.get("/events/3/tunes/9").text
    note = re.findall(r'id="mark-(p\d+b\d+e\d+n\d+)"', page)[0]
    place = re.findall(r'data-place="([^"]+)"', page)[0]
    version = fields_of(page)["version"][0]
    page = demo.post("/events/3/tunes/9", data={"version": version, "place": place}).text
    assert f'id="mark-{note}"' not in page
    assert "left alone" in page
    taken = {"version": fields_of(page)["version"][0], "take_back": "1"}
    assert f'id="mark-{note}"' in demo.post("/events/3/tunes/9", data=taken).text


def test_a_mark_by_hand_of_a_silly_size_is_said_beside_its_field(demo: TestClient) -> None:
    version = fields_of(demo.get("/events/3/tunes/9").text)["version"][0]
    typed = {"version": version, "place": "1/1/0/0", "move": "hold", "ms": "9000"}
    page = demo.post("/events/3/tunes/9", data=typed)
    assert page.status_code == 422
    assert 'id="ms-fault"' in page.text
    assert 'value="9000"' in page.text


def test_a_tune_that_is_not_in_the_event_is_a_plain_page(demo: TestClient) -> None:
    assert demo.get("/events/3/tunes/1").status_code == 404
