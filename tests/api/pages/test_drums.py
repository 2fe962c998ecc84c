"""The drum sergeant's page: strips of bars, and a word on every mark that is not strict."""

import re

from fastapi.testclient import TestClient

from api.routes.event_forms import EventForm
from tests.api.library import if_match
from tests.api.printing.paper import words


def first_form(page: str) -> dict[str, list[str]]:
    form = re.findall(r'<form method="post" action="/events/3/drums".*?</form>', page, re.DOTALL)[0]
    fields: dict[str, list[str]] = {}
    for name, value in re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', form):
        fields.setdefault(name, []).append(value)
    return fields


def test_a_parade_is_strict_from_end_to_end(demo: TestClient) -> None:
    page = demo.get("/events/1/drums").text
    assert "Strict tempo throughout." in page
    assert '<li class="bar follow">' not in page


def test_every_printed_bar_has_its_verdict(demo: TestClient) -> None:
    tunes = demo.get("/api/events/3/plan").json()["sets"][0]["entries"]
    bars = sum(len(entry["plan"]["drums"]["bars"]) for entry in tunes)
    assert demo.get("/events/3/drums").text.count('<li class="bar ') == bars


def test_only_what_is_not_strict_can_be_shown(demo: TestClient) -> None:
    page = demo.get("/events/3/drums?only=open").text
    assert '<li class="bar strict">' not in page
    assert '<li class="bar follow">' in page


def test_pipes_and_drums_agree_on_a_mark_by_name(demo: TestClient) -> None:
    page = demo.get("/events/3/drums").text
    waiting = page.count("to be agreed: ")
    fields = first_form(page) | {"who": ["Bram and Morna"], "word": ["agree"]}
    page = demo.post("/events/3/drums", data=fields).text
    assert "by Bram and Morna" in page
    assert page.count("to be agreed: ") < waiting


def test_a_mark_that_the_drums_refuse_is_remembered(demo: TestClient) -> None:
    fields = first_form(demo.get("/events/3/drums").text) | {"who": ["Bram"], "word": ["refuse"]}
    assert demo.post("/events/3/drums", data=fields).status_code == 200
    kept = demo.get("/api/events/3/choices").json()["agreements"]
    assert {(each["who"], each["is_agreed"]) for each in kept} == {("Bram", False)}


def test_what_has_changed_since_it_was_agreed_stands_first(demo: TestClient) -> None:
    fields = first_form(demo.get("/events/3/drums").text) | {"who": ["Bram"], "word": ["agree"]}
    page = demo.post("/events/3/drums", data=fields).text
    assert "Changed since agreed" not in page
    for place in fields["place"]:
        leave_alone(demo, fields["tune_key"][0], place)
    page = demo.get("/events/3/drums").text
    assert page.index("Changed since agreed") < page.index('<div class="sets"')
    assert (
        f"{fields['move'][0]}, agreed by Bram, is not planned any more: tell the drummers." in page
    )
    assert "changed since the drums agreed" in demo.get("/events/3").text
    sheet = words(demo.get("/events/3/drum-sheet.pdf").content)
    assert sheet.index("Changed since agreed") < sheet.index("is not planned any more")


def leave_alone(demo: TestClient, tune: str, place: str) -> None:
    """Forbid a mark on the note at a place such as ``1/3/0/2.5``."""
    part, bar, ending, beat = place.split("/")
    at = {"part": int(part), "bar": int(bar), "ending": int(ending)}
    plan = demo.get("/api/events/3/plan").json()
    plans = {e["tune_key"]: e["plan"] for each in plan["sets"] for e in each["entries"]}
    notes = [n for n in plans[tune]["played"]["notes"] if all(n[key] == at[key] for key in at)]
    index = next(i for i, note in enumerate(notes) if abs(note["beat"] - float(beat)) < 0.001)
    told = {**at, "index": index, "tune_key": tune, "will": "forbidden"}
    version = demo.get("/api/events/3").json()["version"]
    answer = demo.post("/api/events/3/hand-marks", json=told, headers=if_match(version))
    assert answer.status_code == 201


def test_a_word_can_have_a_remark(demo: TestClient) -> None:
    told = {"who": ["Bram"], "word": ["refuse"], "remark": ["The tenors have a flourish there."]}
    page = demo.post("/events/3/drums", data=first_form(demo.get("/events/3/drums").text) | told)
    assert "“The tenors have a flourish there.”" in page.text
    kept = demo.get("/api/events/3/choices").json()["agreements"]
    assert {each["remark"] for each in kept} == {"The tenors have a flourish there."}


def test_a_mark_that_changed_since_it_was_agreed_says_so(demo: TestClient) -> None:
    fields = first_form(demo.get("/events/3/drums").text) | {"who": ["Bram"], "word": ["agree"]}
    agreed = demo.post("/events/3/drums", data=fields).text
    assert "Changed since it was agreed" not in agreed
    place = fields["place"][0].split("/")
    address = f"/events/3/tunes/{fields['tune_key'][0]}"
    notes = demo.get(address).text
    index = re.findall(rf'data-place="{"/".join(place[:3])}/(\d+)"', notes)[0]
    smaller = {
        "version": re.findall(r'name="version" value="(\d+)"', notes)[0],
        "place": f"{'/'.join(place[:3])}/{index}",
        "move": fields["move"][0],
        "ms": str(float(fields["ms"][0]) * 0.6),
    }
    assert demo.post(address, data=smaller).status_code == 200
    assert "Changed since it was agreed by Bram" in demo.get("/events/3/drums").text


def agree_on_the_first(demo: TestClient) -> str:
    """The key of the tune whose first mark is agreed."""
    fields = first_form(demo.get("/events/3/drums").text) | {"who": ["Bram"], "word": ["agree"]}
    demo.post("/events/3/drums", data=fields)
    assert "Changed since" not in demo.get("/events/3/drums").text
    return fields["tune_key"][0]


def test_a_word_does_not_outlive_the_occasion_it_was_given_for(demo: TestClient) -> None:
    agree_on_the_first(demo)
    event = demo.get("/api/events/3").json()
    form = {key: value for key, value in event.items() if key in EventForm.model_fields}
    changed = {**form, "setting": {**event["setting"], "sort": "medley"}}
    assert demo.put("/api/events/3", json=changed, headers=if_match(event["version"])).is_success
    page = demo.get("/events/3/drums").text
    assert "Changed since it was agreed by Bram" in page
    assert page.index("for another occasion, or before the music changed") < page.index(
        '<div class="sets"'
    )


def test_a_word_does_not_outlive_the_music_it_was_given_for(demo: TestClient) -> None:
    tune = agree_on_the_first(demo)
    kept = demo.get(f"/api/tunes/{tune}").json()
    music = demo.get(f"/api/tunes/{tune}/file").content + b"% read once more\n"
    answer = demo.put(
        f"/api/tunes/{tune}/file",
        files={"file": ("corrected.abc", music)},
        headers=if_match(kept["version"]),
    )
    assert answer.is_success, answer.text
    page = demo.get("/events/3/drums").text
    assert "Changed since it was agreed by Bram" in page
    assert "for another occasion, or before the music changed" in page


def test_what_changed_since_the_last_print_is_on_the_page_and_is_data(demo: TestClient) -> None:
    asked = "/api/events/3/since-last-print"
    first = demo.get(asked).json()
    assert (first["is_printed"], first["is_same"], first["changes"]) == (False, True, [])
    demo.get("/events/3/drum-sheet.pdf")
    printed = demo.get(asked).json()
    assert (printed["is_printed"], printed["is_same"]) == (True, True)
    assert printed["printed_at"]
    fields = first_form(demo.get("/events/3/drums").text)
    for place in fields["place"]:
        leave_alone(demo, fields["tune_key"][0], place)
    found = demo.get(asked).json()
    assert found["is_same"] is False
    bar = next(each for each in found["changes"] if each["what"].startswith("Part "))
    assert bar["was"].startswith("follow")
    assert bar["words"].startswith(f"{bar['tune']}, {bar['what']}: {bar['is_now']}")
    page = demo.get("/events/3/drums").text
    assert page.index("Changed since the last print") < page.index('<div class="sets"')
    assert demo.get(asked).json() == found, "asking keeps nothing"


def test_the_choice_to_see_only_what_is_not_strict_outlives_a_word(demo: TestClient) -> None:
    page = demo.get("/events/3/drums?only=open").text
    fields = first_form(page) | {"who": ["Bram"], "word": ["agree"]}
    assert fields["only"] == ["open"]
    assert demo.post("/events/3/drums", data=fields).url.params["only"] == "open"


def test_nobody_agrees_without_a_name(demo: TestClient) -> None:
    page = demo.post("/events/3/drums", data=first_form(demo.get("/events/3/drums").text))
    assert page.status_code == 422
    assert "This is missing: fill it in." in page.text


def test_nobody_agrees_to_what_has_changed_meanwhile(demo: TestClient) -> None:
    fields = first_form(demo.get("/events/3/drums").text) | {"who": ["Bram"], "word": ["agree"]}
    demo.post("/events/3/drums", data=fields)
    page = demo.post("/events/3/drums", data=fields)
    assert page.status_code == 412
    assert "Somebody changed this meanwhile" in page.text


def test_a_breath_on_a_strict_event_is_a_conflict_with_its_reason_and_its_bar(
    demo: TestClient,
) -> None:
    sets = [{"set_key": "4"}]
    form = {"name": "Mill Day", "setting": {"occasion": "parade"}, "items": sets}
    number = demo.post("/api/events", json=form).json()["key"]
    mark = {"tune_key": "9", "part": 1, "bar": 4, "index": 6, "will": "locked", "move": "breathe"}
    address = f"/api/events/{number}/hand-marks"
    assert demo.post(address, json=mark, headers={"If-Match": '"1"'}).status_code == 201
    page = demo.get(f"/events/{number}/drums?only=open").text
    assert "Breathe set by hand goes beyond what parade allows." in page
    assert page.count('class="bar conflict"') == 1
    # the breath falls between the last note of the part and the pick-up of what comes next
    assert "bar 0, pick-up" in page
