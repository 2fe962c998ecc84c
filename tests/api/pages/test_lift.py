"""A named person lifts the ceiling of one tune at one event, and takes it back."""

from datetime import UTC, datetime

import pytest
from fastapi.testclient import TestClient

from tests.api.library import if_match
from tests.api.printing.paper import words

PAGE = "/events/1/tunes/18"
LIFT = "/api/events/1/tunes/18/lift"


def version(demo: TestClient) -> int:
    return int(demo.get("/api/events/1").json()["version"])


def licence(demo: TestClient, tune: str = "18") -> dict[str, object]:
    sets = demo.get("/api/events/1/plan").json()["sets"]
    plans = {entry["tune_key"]: entry["plan"] for each in sets for entry in each["entries"]}
    found: dict[str, object] = plans[tune]["licence"]
    return found


def lift(demo: TestClient, **told: str) -> int:
    return int(demo.put(LIFT, json=told, headers=if_match(version(demo))).status_code)


def test_a_named_person_lifts_a_ceiling_for_one_tune_at_one_event(demo: TestClient) -> None:
    before = licence(demo)
    assert before["lifted_by"] == ""
    assert lift(demo, across_bar="full", lifted_by="Morna") == 200
    after = licence(demo)
    assert after["lifted_by"] == "Morna"
    assert after["lifted_on"] == datetime.now(UTC).date().isoformat()
    assert after["layers"] == {**before["layers"], "across_bar": "full"}  # type: ignore[dict-item]
    kept = demo.get("/api/events/1/choices").json()["lifts"]
    assert [(each["tune_key"], each["lifted_by"]) for each in kept] == [("18", "Morna")]
    assert kept[0]["lifted_at"]


@pytest.mark.parametrize("sheet", ["set-cards", "phrased-music", "drum-sheet"])
def test_card_and_sheets_name_the_person_and_the_day(demo: TestClient, sheet: str) -> None:
    address = f"/events/1/{sheet}.pdf"
    said = "Lifted above the occasion's ceiling by Morna, "
    assert said not in on_paper(demo, address)
    lift(demo, across_bar="full", lifted_by="Morna")
    day = datetime.now(UTC)
    assert f"{said}{day.day} {day:%B %Y}." in on_paper(demo, address)


def on_paper(demo: TestClient, address: str) -> str:
    text = words(demo.get(address, params={"ask": "done"}).content)
    return " ".join(text.split())


def test_a_lift_can_be_taken_back(demo: TestClient) -> None:
    before = licence(demo)
    lift(demo, across_bar="full", lifted_by="Morna")
    assert demo.delete(LIFT, headers=if_match(version(demo))).status_code == 204
    assert licence(demo) == before
    assert demo.delete(LIFT, headers=if_match(version(demo))).status_code == 404


def test_a_lift_needs_a_name_and_a_layer(demo: TestClient) -> None:
    assert lift(demo, across_bar="full") == 422
    assert lift(demo, lifted_by="Morna") == 422
    assert demo.get("/api/events/1/choices").json()["lifts"] == []


def test_a_level_at_or_below_the_ceiling_lifts_nothing(demo: TestClient) -> None:
    before = licence(demo)
    lift(demo, across_bar="none", lifted_by="Morna")
    assert licence(demo) == before


def test_the_page_lifts_names_and_takes_back(demo: TestClient) -> None:
    told = {"version": str(version(demo)), "across_bar": "full", "lifted_by": "Morna"}
    page = demo.post(f"{PAGE}/lift", data=told).text
    assert "Lifted above the occasion&#39;s ceiling by Morna," in page
    page = demo.post(f"{PAGE}/lift", data={"version": str(version(demo)), "do": "back"}).text
    assert "ceiling by Morna" not in page


def test_a_lift_without_a_name_comes_back_as_it_was_typed(demo: TestClient) -> None:
    told = {"version": str(version(demo)), "across_bar": "full"}
    page = demo.post(f"{PAGE}/lift", data=told)
    assert page.status_code == 422
    assert 'id="lifted_by-fault"' in page.text
