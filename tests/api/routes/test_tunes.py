"""Tunes over HTTP."""

import pytest
from fastapi.testclient import TestClient

from tests.api.library import ANY, a_set, a_tune, if_match, march, upload

PNG = b"\x89PNG\r\n\x1a\n" + b"\0" * 40
OUTLINE = {"title": "Known by Ear", "outline": {"metre": "6/8", "parts": [[8, 2], [8, 2]]}}


def test_an_uploaded_tune_is_stored_with_what_was_read_from_it(client: TestClient) -> None:
    tune = upload(client, march(), tags=["parade"], permission="ours").json()[0]
    assert (tune["title"], tune["tags"], tune["permission"]) == (
        "The Wicker Gate",
        ["parade"],
        "ours",
    )
    music = tune["music"]
    assert (music["idiom"], music["metre"], music["tempo_bpm"]) == ("march", "2/4", 84)
    # 8 bars, played twice, two crotchets a bar at 84 a minute
    assert (music["bars_played"], music["seconds"]) == (16, pytest.approx(32 * 60 / 84))


def test_the_file_comes_back_as_it_was_uploaded(client: TestClient) -> None:
    content = march("Gåte")
    key = upload(client, content, "ab cå.abc").json()[0]["key"]
    answer = client.get(f"/api/tunes/{key}/file")
    assert answer.content == content
    assert "filename*=UTF-8''ab%20c%C3%A5.abc" in answer.headers["content-disposition"]


def test_reading_a_file_stores_nothing(client: TestClient) -> None:
    files = {"file": ("two.abc", march("First") + b"\n" + march("Second", 2))}
    answer = client.post("/api/tunes/readings", files=files)
    assert [each["title"] for each in answer.json()] == ["First", "Second"]
    assert client.get("/api/tunes").json() == []


def test_a_file_of_several_tunes_asks_which(client: TestClient) -> None:
    answer = upload(client, march("First") + b"\n" + march("Second", 2), "two.abc")
    assert answer.status_code == 422
    assert answer.json()["tunes"] == [
        {"number": 1, "title": "First"},
        {"number": 2, "title": "Second"},
    ]
    assert client.get("/api/tunes").json() == []


@pytest.mark.parametrize(
    ("choice", "titles"),
    [("2", ["Second"]), ("2,1", ["Second", "First"]), ("all", ["First", "Second"])],
)
def test_the_chosen_tunes_of_a_file_are_stored(
    client: TestClient, choice: str, titles: list[str]
) -> None:
    book = march("First") + b"\n" + march("Second", 2)
    answer = upload(client, book, tune=choice)
    assert [tune["title"] for tune in answer.json()] == titles
    assert len(client.get("/api/tunes").json()) == len(titles)


@pytest.mark.parametrize("choice", ["3", "0", "first", "1;2"])
def test_a_choice_that_is_not_in_the_file_is_refused(client: TestClient, choice: str) -> None:
    book = march("First") + b"\n" + march("Second", 2)
    answer = upload(client, book, tune=choice)
    assert (answer.status_code, answer.json()["errors"][0]["field"]) == (422, "tune")
    assert client.get("/api/tunes").json() == []


def test_a_tune_without_notes_is_stored_by_its_outline(client: TestClient) -> None:
    answer = client.post("/api/tunes", json=OUTLINE)
    assert answer.status_code == 201
    assert answer.headers["location"] == f"/api/tunes/{answer.json()['key']}"
    music = answer.json()["music"]
    assert (music["has_notes"], music["bars_played"], music["beat_unit"]) == (
        False,
        32,
        "dotted crotchet",
    )


def test_a_change_makes_a_new_version_and_keeps_the_music(client: TestClient) -> None:
    key = a_tune(client)
    form = {"title": "The Gate", "tempo_bpm": 80, "idiom": "strathspey", "composer": "Nan Ridd"}
    answer = client.put(f"/api/tunes/{key}", json=form, headers=if_match(1))
    assert (answer.status_code, answer.headers["etag"]) == (200, '"2"')
    seen = client.get(f"/api/tunes/{key}").json()
    assert (seen["title"], seen["composer"], seen["version"]) == ("The Gate", "Nan Ridd", 2)
    music = seen["music"]
    assert (music["tempo_bpm"], music["idiom"], music["has_notes"]) == (80, "strathspey", True)


def test_an_unknown_idiom_is_refused_with_the_known_ones(client: TestClient) -> None:
    key = a_tune(client)
    answer = client.put(
        f"/api/tunes/{key}", json={"title": "The Gate", "idiom": "tarantella"}, headers=ANY
    )
    assert answer.status_code == 422
    assert "strathspey" in answer.json()["detail"]


def test_other_music_can_take_the_place_of_a_tunes_music(client: TestClient) -> None:
    key = a_tune(client)
    files = {"file": ("new.abc", march("The Wicker Gate", bars="{g}A2 {g}B2|{g}c2 {g}A2|"))}
    answer = client.put(f"/api/tunes/{key}/file", files=files, headers=if_match(1))
    assert (answer.json()["version"], answer.json()["music"]["bars_played"]) == (2, 8)


def test_an_attachment_is_kept_by_what_it_is_not_by_what_it_says(client: TestClient) -> None:
    key = client.post("/api/tunes", json=OUTLINE).json()["key"]
    files = {"file": ("sheet.pdf", PNG, "application/pdf")}
    answer = client.put(f"/api/tunes/{key}/attachment", files=files, headers=if_match(1))
    assert answer.json()["attachment"]["media_type"] == "image/png"
    shown = client.get(f"/api/tunes/{key}/attachment")
    assert (shown.content, shown.headers["content-type"]) == (PNG, "image/png")
    gone = client.delete(f"/api/tunes/{key}/attachment", headers=if_match(2))
    assert gone.json()["attachment"] is None
    assert client.get(f"/api/tunes/{key}/attachment").status_code == 404


def test_an_attachment_that_is_no_picture_is_refused(client: TestClient) -> None:
    key = client.post("/api/tunes", json=OUTLINE).json()["key"]
    files = {"file": ("sheet.png", b"<html><script>", "image/png")}
    answer = client.put(f"/api/tunes/{key}/attachment", files=files, headers=if_match(1))
    assert (answer.status_code, answer.json()["detail"]) == (
        415,
        "sheet.png is not a PDF, PNG or JPEG file: choose another file.",
    )


def test_a_tune_that_a_set_needs_is_not_removed(client: TestClient) -> None:
    key = a_tune(client)
    a_set(client, key)
    answer = client.delete(f"/api/tunes/{key}", headers=if_match(1))
    assert answer.status_code == 409
    assert answer.json()["detail"] == (
        "The tune “The Wicker Gate” is used by the set “Set 1”; "
        "take it out there first, then remove it."
    )
    assert client.get(f"/api/tunes/{key}").status_code == 200


def test_a_removed_tune_is_gone_and_its_number_is_not_given_again(client: TestClient) -> None:
    key = a_tune(client)
    assert client.delete(f"/api/tunes/{key}", headers=if_match(1)).status_code == 204
    assert client.get(f"/api/tunes/{key}").status_code == 404
    assert a_tune(client) != key


def test_removing_one_tune_of_a_book_keeps_the_file_for_the_others(client: TestClient) -> None:
    book = march("First") + b"\n" + march("Second", 2)
    first, second = (tune["key"] for tune in upload(client, book, tune="all").json())
    client.delete(f"/api/tunes/{first}", headers=ANY)
    assert client.get(f"/api/tunes/{second}/file").content == book


def test_a_long_list_of_tunes_comes_by_the_hundred(client: TestClient) -> None:
    outline = {"metre": "2/4", "parts": [[8, 2]]}
    for number in range(101):
        client.post("/api/tunes", json={"title": f"Tune {number:03}", "outline": outline})
    first = client.get("/api/tunes")
    rest = client.get(first.links["next"]["url"])
    assert [len(page.json()) for page in (first, rest)] == [100, 1]
    assert rest.json()[0]["title"] == "Tune 100"
    assert "next" not in rest.links
