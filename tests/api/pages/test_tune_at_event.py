"""One tune at one event: what a move would take, marks by hand told in numbers, and undone."""

from fastapi.testclient import TestClient

PAGE = "/events/3/tunes/9"


def version(demo: TestClient) -> str:
    return str(demo.get("/api/events/3").json()["version"])


def a_mark(demo: TestClient) -> dict[str, str]:
    sets = demo.get("/api/events/3/plan").json()["sets"]
    plans = {entry["tune_key"]: entry["plan"] for each in sets for entry in each["entries"]}
    found: dict[str, str] = plans["9"]["marks"][0]
    return found


def test_a_move_that_was_not_chosen_has_its_reason(demo: TestClient) -> None:
    page = demo.get(f"{PAGE}?asked=1/1/0/1&move=breathe").text
    assert "A breath is for people to set" in page
    assert '<option value="1/1/0/1" selected>' in page


def test_a_question_about_nothing_is_answered_in_one_sentence(demo: TestClient) -> None:
    assert demo.get(f"{PAGE}?asked=1/1/0/0&move=swell").status_code == 422
    assert demo.get(f"{PAGE}?asked=here&move=hold").status_code == 422
    assert demo.get(f"{PAGE}?asked=1/90/0/0&move=hold").status_code == 404


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
    undo = {"version": version(demo), "take_back": str(kept[-1]["number"])}
    assert f'value="{kept[-1]["number"]}"><p class="acts"><button>Undo' in page
    demo.post(PAGE, data=undo)
    left = demo.get("/api/events/3/choices").json()["hand_marks"]
    assert [mark["bar"] for mark in left] == [1]


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
