"""A band sets its own level for a cell of the licence matrix, with name and day, and goes back."""

import re

from fastapi.testclient import TestClient

KEY = "/rules/occasions.parade.own_band.within_beat"
OWN = {"version": "0", "value": "none", "set_by": "Morna"}


def within_beat(client: TestClient) -> str:
    plan = client.get("/api/tunes/9/plan?occasion=parade").json()
    return str(plan["licence"]["layers"]["within_beat"])


def test_a_cell_of_the_matrix_leads_to_its_own_level(demo: TestClient) -> None:
    assert f'<a href="{KEY}"><b>slight</b></a>' in demo.get("/rules").text


def test_the_bands_own_level_stands_in_the_matrix_and_in_plans(demo: TestClient) -> None:
    assert within_beat(demo) == "slight"
    page = demo.post(KEY, data=OWN).text
    assert re.search(r"the band&?[^ ]*s own, set by Morna on \d{4}-\d\d-\d\d", page)
    assert f'<a href="{KEY}" class="own"><b>none</b></a>' in demo.get("/rules").text
    assert within_beat(demo) == "none"


def test_the_book_holds_again_in_the_matrix_and_in_plans(demo: TestClient) -> None:
    demo.post(KEY, data=OWN)
    demo.post(KEY, data={"version": "1", "do": "back"})
    assert f'<a href="{KEY}"><b>slight</b></a>' in demo.get("/rules").text
    assert within_beat(demo) == "slight"


def test_a_level_that_is_none_of_the_four_is_refused(demo: TestClient) -> None:
    assert demo.post(KEY, data={**OWN, "value": "loose"}).status_code == 422
    assert within_beat(demo) == "slight"
