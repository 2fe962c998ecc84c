import io
import zipfile
from concurrent.futures import ThreadPoolExecutor

import pytest
from fastapi.testclient import TestClient
from PIL import Image

from tests.api.library import ANY, a_person, a_set, a_tune, an_event
from tests.api.printing.paper import page_sizes_mm, page_words, words

SHEETS = ("set-cards", "phrased-music", "drum-sheet", "call-sheet")


@pytest.fixture
def event(client: TestClient) -> str:
    tunes = [a_tune(client, "The Wicker Gate"), a_tune(client, "Mill Street in May")]
    return an_event(client, a_set(client, *tunes), day="2031-06-14")


def sheet(client: TestClient, event: str, name: str) -> bytes:
    answer = client.get(f"/events/{event}/{name}.pdf")
    assert answer.status_code == 200, answer.text
    assert answer.headers["content-type"] == "application/pdf"
    return answer.content


@pytest.mark.parametrize("name", SHEETS)
def test_every_sheet_names_the_event_and_its_version(client, event: str, name: str) -> None:
    version = client.get(f"/api/events/{event}").headers["etag"].strip('"')
    for text in page_words(sheet(client, event, name)):
        assert f"version {version}, made" in text
    assert "Mill Day" in words(sheet(client, event, name))


@pytest.mark.parametrize("name", ["set-cards", "phrased-music", "drum-sheet"])
def test_every_tune_stands_on_the_sheets_of_the_music(client, event: str, name: str) -> None:
    text = words(sheet(client, event, name))
    assert text.index("The Wicker Gate") < text.index("Mill Street in May")


def test_cards_are_a6_and_the_other_sheets_a4(client, event: str) -> None:
    assert set(page_sizes_mm(sheet(client, event, "set-cards"))) == {(105, 148)}
    assert set(page_sizes_mm(sheet(client, event, "drum-sheet"))) == {(210, 297)}


def test_a_sheet_that_was_seen_is_not_sent_again(client, event: str) -> None:
    address = f"/events/{event}/call-sheet.pdf"
    tag = client.get(address).headers["etag"]
    assert client.get(address, headers={"If-None-Match": tag}).status_code == 304


def test_a_changed_event_has_a_new_sheet_with_a_new_version(client, event: str) -> None:
    before = client.get(f"/events/{event}/call-sheet.pdf")
    kept = client.get(f"/api/events/{event}").json()
    form = {key: kept[key] for key in ("name", "setting", "items", "day")}
    form["arrangements"] = {"place": "the other green"}
    changed = client.put(f"/api/events/{event}", json=form, headers=ANY)
    assert changed.status_code == 200, changed.text
    after = client.get(f"/events/{event}/call-sheet.pdf")
    assert after.headers["etag"] != before.headers["etag"]
    assert "the other green" in words(after.content)


def test_a_player_gets_a_card_of_their_own(client, event: str) -> None:
    person = a_person(client, "Perrin Oxgate")
    form = {"answers": [{"person_key": person, "answer": "yes"}]}
    settled = client.put(f"/api/events/{event}/line-up", json=form, headers=ANY)
    assert settled.status_code == 200, settled.text
    answer = client.get(f"/events/{event}/set-cards.pdf", params={"person": person})
    text = words(answer.content)
    assert "card of Perrin Oxgate" in text
    assert "You play" in text


def test_who_is_not_in_the_line_up_gets_a_sentence_instead_of_a_card(client, event: str) -> None:
    person = a_person(client, "Perrin Oxgate")
    answer = client.get(f"/events/{event}/set-cards.pdf", params={"person": person})
    assert answer.status_code == 422
    assert "Perrin Oxgate is not in the line-up" in answer.text


@pytest.mark.parametrize("name", SHEETS)
def test_an_event_that_is_not_there_is_not_found(client, name: str) -> None:
    assert client.get(f"/events/4711/{name}.pdf").status_code == 404


@pytest.mark.parametrize("name", SHEETS)
def test_an_event_without_sets_still_has_its_sheets(client, name: str) -> None:
    assert "Mill Day" in words(sheet(client, an_event(client), name))


def test_the_drum_sheet_tells_what_changed_since_the_last_one(client, event: str) -> None:
    first = words(client.get(f"/events/{event}/drum-sheet.pdf").content)
    assert "Changed since the last print" not in first
    extra = a_set(client, a_tune(client, "Late Addition"), number=2)
    kept = client.get(f"/api/events/{event}").json()
    form = {key: kept[key] for key in ("name", "setting", "day")}
    form["items"] = [*kept["items"], {"set_key": extra}]
    assert client.put(f"/api/events/{event}", json=form, headers=ANY).status_code == 200
    for _ in range(2):  # asking twice must not lose what changed
        text = words(sheet(client, event, "drum-sheet"))
        assert "Changed since the last print" in text
        assert "Late Addition is new." in text


def test_the_pack_holds_every_sheet(client, event: str) -> None:
    answer = client.get(f"/events/{event}/pack.zip")
    with zipfile.ZipFile(io.BytesIO(answer.content)) as pack:
        names = pack.namelist()
        assert all(pack.read(name).startswith(b"%PDF-") for name in names)
    assert [name.rsplit("-v", 1)[0] for name in names] == [f"mill-day-{name}" for name in SHEETS]


def test_a_tune_without_notes_prints_its_scan(client) -> None:
    png = picture()
    form = {"title": "The Mill Gate", "outline": {"metre": "6/8", "parts": [[8, 2]]}}
    tune = client.post("/api/tunes", json=form).json()["key"]
    client.put(
        f"/api/tunes/{tune}/attachment", files={"file": ("gate.png", png)}, headers=ANY
    ).raise_for_status()
    text = words(sheet(client, an_event(client, a_set(client, tune)), "phrased-music"))
    assert "No notes on file: the scan is printed." in text


def picture() -> bytes:
    out = io.BytesIO()
    Image.new("L", (60, 40), 128).save(out, "PNG")
    return out.getvalue()


def test_the_service_answers_while_a_sheet_is_printed(client, event: str) -> None:
    with ThreadPoolExecutor(1) as printing:
        paper = printing.submit(client.get, f"/events/{event}/phrased-music.pdf")
        assert client.get("/healthz").status_code == 200
        assert paper.result().content.startswith(b"%PDF-")
