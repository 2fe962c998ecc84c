"""One tune at one event: what a move would take, marks by hand told in numbers, and undone."""

import re

from fastapi.testclient import TestClient

from api.routes.event_forms import EventForm
from planner.marks.marks import Move
from tests.api.library import if_match

PAGE = "/events/3/tunes/9"
LAST = "1/4/0/6"
"""The last note of the first part, which can breathe."""


def version(demo: TestClient) -> str:
    return str(demo.get("/api/events/3").json()["version"])


def test_a_note_shows_every_move_with_the_reason_that_binds(demo: TestClient) -> None:
    page = demo.get(f"{PAGE}?note=1/1/0/1").text
    assert "A breath is for people to set" in page
    assert '<option value="1/1/0/1" selected>' in page
    for move in Move:
        assert f'name="move" value="{move}"' in page


def test_a_note_that_is_none_is_answered_in_one_sentence(demo: TestClient) -> None:
    assert demo.get(f"{PAGE}?note=here").status_code == 422
    assert demo.get(f"{PAGE}?note=1/90/0/0").status_code == 404


def test_a_move_is_locked_on_a_note_and_left_to_the_planner_again(demo: TestClient) -> None:
    note = f"{PAGE}?note={LAST}"
    told = {"version": version(demo), "place": LAST, "move": "breathe", "set_by": "Morna"}
    page = demo.post(PAGE, data=told)
    assert (page.url.path, page.url.params["note"]) == (PAGE, LAST)
    assert "set by hand" in page.text
    hand = demo.get("/api/events/3/choices").json()["hand_marks"][-1]["number"]
    back = {"version": version(demo), "place": LAST, "take_back": str(hand)}
    assert f'name="take_back" value="{hand}"' in page.text
    demo.post(PAGE, data=back)
    assert "set by hand" not in demo.get(note).text


def test_a_move_that_the_note_cannot_make_is_refused_with_the_reason_that_binds(
    demo: TestClient,
) -> None:
    told = {"version": version(demo), "place": "1/1/0/1", "move": "breathe", "set_by": "Morna"}
    page = demo.post(PAGE, data=told)
    assert page.status_code == 422
    fault = page.text.split('id="move-fault"')[1].split("</p>")[0]
    assert "only the last note of a phrase can breathe" in fault
    assert 'value="Morna"' in page.text
    assert demo.get("/api/events/3/choices").json()["hand_marks"] == []


def test_a_word_that_no_longer_holds_is_told_as_what_it_is(demo: TestClient) -> None:
    # By JSON, where marks can be set before the plan makes them possible.
    place = {"part": 1, "bar": 1, "index": 1}
    mark = {"tune_key": "9", **place, "will": "locked", "move": "breathe"}
    headers = {"If-Match": f'"{version(demo)}"'}
    assert demo.post("/api/events/3/hand-marks", json=mark, headers=headers).status_code == 201
    assert "Set by hand is breathe, which is not possible here." in (
        demo.get(f"{PAGE}?note=1/1/0/1").text
    )


def test_a_note_is_left_as_written_whatever_the_planner_chooses(demo: TestClient) -> None:
    place = re.findall(r'data-place="([^"]+)"', demo.get(PAGE).text)[0]
    told = {"version": version(demo), "place": place, "move": "leave", "set_by": "Morna"}
    assert "Left as written, by hand" in demo.post(PAGE, data=told).text


def test_a_size_that_is_none_is_said_beside_its_field_and_nothing_is_lost(demo: TestClient) -> None:
    told = {"version": version(demo), "place": "1/1/0/1", "move": "hold", "ms": "long"}
    page = demo.post(PAGE, data={**told, "set_by": "Morna Gristhwaite"})
    assert page.status_code == 422
    assert 'value="long"' in page.text
    assert 'value="Morna Gristhwaite"' in page.text
    assert 'value="hold" required checked' in page.text


def test_another_occasion_shows_at_once_how_the_marks_change(demo: TestClient) -> None:
    own, seen = demo.get(PAGE).text, version(demo)
    page = demo.get(f"{PAGE}?on=parade:massed").text
    assert "Parade, massed bands: what changes" in page
    assert page.count('class="mark-here"') < own.count('class="mark-here"')
    assert 'name="move"' not in page
    assert version(demo) == seen
    assert demo.get(f"{PAGE}?on=wedding").status_code == 422


def test_on_its_own_occasion_nothing_is_looked_at(demo: TestClient) -> None:
    page = demo.get(f"{PAGE}?on=competition:march-strathspey-reel").text
    assert "what changes" not in page


def test_the_reason_can_be_read_by_programs(demo: TestClient) -> None:
    asked = "part=1&bar=1&index=1&move=breathe"
    answer = demo.get(f"/api/events/3/tunes/9/what-it-takes?{asked}").json()
    assert answer["is_made"] is False
    assert answer["why"].startswith("a breath is for people to set")


def test_marks_by_hand_are_told_in_numbers_and_the_last_can_be_undone(demo: TestClient) -> None:
    assert "off their written length" not in demo.get(PAGE).text
    for place in ("1/1/0/0", "1/2/0/0"):
        demo.post(PAGE, data={"version": version(demo), "place": place, "set_by": "Morna"})
    page = demo.get(PAGE).text
    assert "of the notes are off their written length" in page
    kept = demo.get("/api/events/3/choices").json()["hand_marks"]
    assert 'name="do" value="undo"' in page
    demo.post(PAGE, data={"version": version(demo), "do": "undo"})
    left = demo.get("/api/events/3/choices").json()["hand_marks"]
    assert [mark["bar"] for mark in left] == [mark["bar"] for mark in kept[:-1]]


def test_an_undo_brings_back_the_size_that_was_there_before(demo: TestClient) -> None:
    place = "3/1/0/0"  # a high A that the planner holds
    for size in ("31", "42"):
        told = {"place": place, "move": "hold", "ms": size, "set_by": "Morna"}
        demo.post(PAGE, data={**told, "version": version(demo)})
    sizes = [demo.get("/api/events/3/choices").json()["hand_marks"][-1]["ms"]]
    last = demo.get("/api/events/3/choices").json()["hand_marks"][-1]["number"]
    demo.post(PAGE, data={"version": version(demo), "take_back": str(last)})
    assert not any(
        mark["number"] == last for mark in demo.get("/api/events/3/choices").json()["hand_marks"]
    )
    for _ in range(2):
        demo.post(PAGE, data={"version": version(demo), "do": "undo"})
        sizes.append(demo.get("/api/events/3/choices").json()["hand_marks"][-1]["ms"])
    assert sizes == [42, 42, 31]


def test_marks_by_hand_of_another_occasion_are_kept_and_told(demo: TestClient) -> None:
    place = re.findall(r'data-place="([^"]+)"', demo.get(PAGE).text)[0]
    demo.post(PAGE, data={"version": version(demo), "place": place, "move": "leave"})
    change_sort(demo, "medley")
    page = demo.get(PAGE).text
    kept = "What was set by hand before is kept and comes back with its occasion: one note for "
    assert f"{kept}Competition, march, strathspey and reel." in page
    assert 'value="undo"' not in page
    change_sort(demo, "march-strathspey-reel")
    assert kept not in demo.get(PAGE).text
    kept_marks = demo.get("/api/events/3/choices").json()["hand_marks"]
    assert [mark["will"] for mark in kept_marks] == ["forbidden"]


def change_sort(demo: TestClient, sort: str) -> None:
    event = demo.get("/api/events/3").json()
    form = {key: value for key, value in event.items() if key in EventForm.model_fields}
    changed = {**form, "setting": {**event["setting"], "sort": sort}}
    assert demo.put("/api/events/3", json=changed, headers=if_match(event["version"])).is_success


def test_a_size_by_hand_stands_in_its_field_to_be_changed(demo: TestClient) -> None:
    page = demo.get(PAGE).text
    place, move = re.findall(
        r'name="place" value="([^"]+)"><input type="hidden" name="move" value="([^"]+)">', page
    )[0]
    told = {"version": version(demo), "place": place, "move": move, "ms": "35", "set_by": "Morna"}
    demo.post(PAGE, data=told)
    note = demo.get(f"{PAGE}?note={place}").text
    assert re.search(r'name="ms"[^>]*value="35"', note)
    assert re.search(r'name="set_by"[^>]*value="Morna"', note)


def test_a_mark_of_the_planner_is_kept_as_it_is(demo: TestClient) -> None:
    page = demo.get(PAGE).text
    form = re.search(
        r'name="place" value="([^"]+)"><input type="hidden" name="move" value="([^"]+)">'
        r'<input type="hidden" name="ms" value="([^"]+)"><button class="small plain">Keep it',
        page,
    )
    assert form
    place, move, ms = form.groups()
    demo.post(PAGE, data={"version": version(demo), "place": place, "move": move, "ms": ms})
    made = demo.get("/api/events/3/choices").json()["hand_marks"][-1]
    assert (made["move"], made["ms"]) == (move, float(ms))
    assert demo.get(PAGE).text.count("Keep it as it is") == page.count("Keep it as it is") - 1


def test_two_occasions_are_compared_as_data(demo: TestClient) -> None:
    found = demo.get("/api/tunes/9/compare?left=parade:own-band&right=exhibition:standing").json()
    assert found["is_same"] is False
    assert {layer["layer"] for layer in found["layers"]} <= {
        "within beat", "across bar", "across phrase", "between tunes",
    }  # fmt: skip
    plans = {
        side: demo.get(f"/api/tunes/9/plan?occasion={occasion}").json()
        for side, occasion in (("left", "parade"), ("right", "exhibition"))
    }
    both = len(found["changed"])
    for side in ("left", "right"):
        assert len(found[f"only_{side}"]) + both <= len(plans[side]["marks"])
    assert len(found["words"]) >= len(found["layers"])


def test_an_occasion_compared_with_itself_does_not_differ(demo: TestClient) -> None:
    found = demo.get("/api/tunes/9/compare?left=parade:massed&right=parade:massed").json()
    assert (found["is_same"], found["words"], found["layers"]) == (True, [], [])


def test_an_occasion_that_is_none_is_refused(demo: TestClient) -> None:
    assert demo.get("/api/tunes/9/compare?left=wedding").status_code == 422
