"""The rule book on its pages: read, replaced by the band's own, and back again."""

import re

from fastapi.testclient import TestClient

KEY = "/rules/thresholds.gracenote.length"


def test_the_matrix_has_a_reason_beside_every_level(client: TestClient) -> None:
    page = client.get("/rules").text
    assert "Parade, massed bands" in page
    assert "Bands that never practised together play as one" in page.replace("since b", "B")


def row_of(page: str, name: str) -> list[str]:
    """The levels of one occasion, and last its marks."""
    row = page.partition(f'<th scope="row">{name}</th>')[2].partition("</tr>")[0]
    return re.findall(r"<b>([^<]+)</b>", row)


def test_the_matrix_comes_out_for_an_idiom_its_players_and_what_holds(client: TestClient) -> None:
    plain = client.get("/rules?idiom=march&rung=4").text
    assert row_of(plain, "Parade, own band") == [
        "slight",
        "none",
        "none",
        "slight",
        "one mark a line",
    ]
    held = "circumstance=learners&circumstance=few-practices"
    stepped = client.get(f"/rules?idiom=march&rung=4&{held}").text
    assert row_of(stepped, "Exhibition, standing") == [
        "slight", "slight", "slight", "full", "one mark a line",
    ]  # fmt: skip
    assert "Full as a rule; here less, since learners are in the line-up and" in stepped
    round_tune = client.get("/rules?idiom=jig&rung=4").text
    assert row_of(round_tune, "Competition, medley")[-1] == "one mark a part, tightened only"
    assert row_of(round_tune, "Exhibition, standing")[-1] == "two marks a part, tightened or held"
    low = client.get("/rules?idiom=march&rung=2").text
    assert row_of(low, "Exhibition, standing")[-1] == "practice in their place, rung 2"


def test_the_medley_leaves_a_slow_air_more(client: TestClient) -> None:
    air, march = (
        row_of(client.get(f"/rules?idiom={idiom}&rung=4").text, "Competition, medley")
        for idiom in ("slow air", "march")
    )
    assert (air[2], march[2]) == ("agreed", "none")


def test_what_is_no_idiom_is_refused_in_one_sentence(client: TestClient) -> None:
    page = client.get("/rules?idiom=polka")
    assert page.status_code == 422
    assert "“polka” is no idiom" in page.text


def test_a_value_of_the_bands_own_holds_with_its_name(client: TestClient) -> None:
    page = client.post(KEY, data={"version": "0", "value": "40", "set_by": "Morna"}).text
    assert "<b>40 ms</b>, the band's own, set by Morna" in page
    assert "set by Morna" in client.get("/rules").text
    assert "The book says</dt><dd>35 ms" in page


def test_the_book_holds_again_when_the_band_goes_back(client: TestClient) -> None:
    client.post(KEY, data={"version": "0", "value": "40", "set_by": "Morna"})
    page = client.post(KEY, data={"version": "1", "do": "back"}).text
    assert "The rule book&#39;s own value holds again." in page
    assert "<b>35 ms</b>" in page


def test_a_value_out_of_range_is_said_beside_its_field(client: TestClient) -> None:
    page = client.post(KEY, data={"version": "0", "value": "400", "set_by": "Morna"})
    assert page.status_code == 422
    assert 'id="value-fault"' in page.text
    assert 'value="400"' in page.text
    assert 'value="Morna"' in page.text


def test_a_band_says_how_its_taorluaths_sit_on_the_beat(demo: TestClient) -> None:
    key = "/rules/movements.families.taorluath"
    assert "Movements: how each family sits on the beat" in demo.get("/rules").text
    assert '<option value="as in the book" selected>' in demo.get(key).text
    asked = "/api/tunes/9/plan?occasion=parade"
    before = demo.get(asked).json()["tune"]["movements"]
    assert {each["sits"] for each in before if "taorluath" in each["name"]} == {"across the beat"}
    demo.post(key, data={"version": "0", "value": "on the beat", "set_by": "Morna"})
    moved = demo.get(asked).json()["tune"]["movements"]
    assert {each["sits"] for each in moved if "taorluath" in each["name"]} == {"on the beat"}
    odd = demo.post(key, data={"version": "1", "value": "somewhere", "set_by": "Morna"})
    assert odd.status_code == 422


def test_letters_are_no_number(client: TestClient) -> None:
    page = client.post(KEY, data={"version": "0", "value": "soon", "set_by": "Morna"})
    assert page.status_code == 422
    assert "is not a number; write one such as 35." in page.text


def test_nobody_sets_a_value_without_a_name(client: TestClient) -> None:
    page = client.post(KEY, data={"version": "0", "value": "40"})
    assert page.status_code == 422
    assert 'id="set_by-fault"' in page.text


def test_a_level_is_chosen_not_typed(client: TestClient) -> None:
    key = "/rules/occasions.parade.own_band.within_beat"
    assert '<option value="slight" selected>' in client.get(key).text
    page = client.post(key, data={"version": "0", "value": "none", "set_by": "Morna"})
    assert page.status_code == 200
    assert '<option value="none" selected>' in page.text


def test_the_bands_own_level_changes_tomorrows_plan(demo: TestClient) -> None:
    key = "/rules/occasions.parade.own_band.within_beat"
    demo.post(key, data={"version": "0", "value": "none", "set_by": "Morna"})
    page = demo.get("/events/1").text
    assert "<dt>within the beat</dt><dd>none</dd>" in page
    assert "<dt>within the beat</dt><dd>slight</dd>" not in page


def test_the_clock_of_contests_is_the_bands_own_to_set_and_only_as_it_can_be_read(
    client: TestClient,
) -> None:
    key = "/rules/drill.contest.clock_from"
    odd = client.post(key, data={"version": "0", "value": "first drone", "set_by": "Morna"})
    assert odd.status_code == 422
    assert "choose first roll or first note" in odd.text
    assert "the band's own" not in client.get(key).text
    page = client.post(key, data={"version": "0", "value": "first note", "set_by": "Morna"})
    assert "<b>first note</b>, the band's own, set by Morna" in page.text


def test_a_number_of_players_is_a_number_also_when_the_band_sets_it(client: TestClient) -> None:
    key = "/rules/contests.rspba_2022.grade_1.minimum.pipers"
    client.post(key, data={"version": "0", "value": "7", "set_by": "Morna"})
    assert client.get("/sets/new").status_code == 200
