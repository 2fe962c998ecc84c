import io
import zipfile
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import pytest
from fastapi.testclient import TestClient
from PIL import Image

from api.sharing import new_reading_key
from planner.engraving.score import write_musicxml
from planner.notation.read import read_tune
from tests.api.library import ANY, a_person, a_set, a_tune, an_event, march, upload
from tests.api.printing.paper import page_sizes_mm, page_words, words

SHEETS = (
    "set-cards", "phrased-music", "drum-sheet", "call-sheet", "running-order", "joins",
)  # fmt: skip


@pytest.fixture
def event(client: TestClient) -> str:
    tunes = [a_tune(client, "The Wicker Gate"), a_tune(client, "Mill Street in May")]
    return an_event(client, a_set(client, *tunes), day="2031-06-14")


def sheet(client: TestClient, event: str, name: str, **wanted: object) -> bytes:
    answer = client.get(f"/events/{event}/{name}.pdf", params={"ask": "done", **wanted})
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


def test_the_pack_holds_every_sheet_one_to_hang_up_and_one_for_each_player(
    client, event: str
) -> None:
    person = a_person(client, "Perrin Oxgate")
    form = {"answers": [{"person_key": person, "answer": "yes"}]}
    client.put(f"/api/events/{event}/line-up", json=form, headers=ANY).raise_for_status()
    answer = client.get(f"/events/{event}/pack.zip", params={"ask": "done"})
    with zipfile.ZipFile(io.BytesIO(answer.content)) as pack:
        names = pack.namelist()
        assert all(pack.read(name).startswith(b"%PDF-") for name in names)
    assert [name.rsplit("-v", 1)[0] for name in names] == [
        *(f"mill-day-{name}" for name in (*SHEETS, "set-cards-folded")),
        "noticeboard.pdf",
        "players/perrin-oxgate.pdf",
    ]


@pytest.mark.parametrize("name", ["phrased-music.pdf", "pack.zip"])
def test_music_without_a_permission_note_asks_once_before_it_is_printed(
    client, event: str, name: str
) -> None:
    asked = client.get(f"/events/{event}/{name}")
    assert asked.headers["content-type"].startswith("text/html")
    assert "May this music be copied?" in asked.text
    assert "The Wicker Gate" in asked.text
    assert f'href="/events/{event}/{name}?ask=done"' in asked.text


def test_music_with_a_permission_note_is_printed_at_once(client) -> None:
    tune = upload(client, march("The Wicker Gate"), permission="free to copy").json()[0]["key"]
    event = an_event(client, a_set(client, tune))
    answer = client.get(f"/events/{event}/phrased-music.pdf")
    assert answer.headers["content-type"] == "application/pdf"


def test_the_same_sheet_comes_on_us_paper_and_on_half_sheets(client, event: str) -> None:
    assert set(page_sizes_mm(sheet(client, event, "call-sheet", paper="letter"))) == {(216, 279)}
    assert set(page_sizes_mm(sheet(client, event, "phrased-music", half=True))) == {(148, 210)}
    half = sheet(client, event, "phrased-music", half=True, paper="letter")
    assert set(page_sizes_mm(half)) == {(140, 216)}


def test_the_paper_in_the_printer_is_a_setting(client, event: str, settings) -> None:
    client.app.state.settings = settings.model_copy(update={"paper": "letter"})
    assert set(page_sizes_mm(sheet(client, event, "call-sheet"))) == {(216, 279)}


def test_folded_cards_lie_two_by_two(client, event: str) -> None:
    assert set(page_sizes_mm(sheet(client, event, "set-cards", folded=True))) == {(210, 148)}


def test_a_code_opens_the_newest_version_where_the_service_has_an_address(
    client, event: str, settings
) -> None:
    assert "newest" not in words(sheet(client, event, "call-sheet"))
    public = {"public_address": "https://band.example.org/", "share": True}
    client.app.state.settings = settings.model_copy(update=public)
    key = new_reading_key(settings.data_dir)
    text = words(sheet(client, event, "call-sheet")).replace(" ", "")
    link = f"https://band.example.org/reading/{key}/players"
    assert f"{link}/events/{event}/call-sheet.pdf" in text


def test_a_learner_gets_a_card_with_beat_notes_and_a_list_of_outs(client, event: str) -> None:
    person = a_person(client, "Perrin Oxgate")
    form = {"answers": [{"person_key": person, "answer": "yes"}]}
    client.put(f"/api/events/{event}/line-up", json=form, headers=ANY).raise_for_status()
    learner = words(sheet(client, event, "learner-card", person=person))
    assert "The note on every beat" in learner
    assert "1: low A B" in learner
    assert "What Perrin Oxgate plays" in words(sheet(client, event, "outs", person=person))


def test_a_sheet_for_one_player_asks_whose_it_is(client, event: str) -> None:
    assert client.get(f"/events/{event}/learner-card.pdf").status_code == 422


def test_one_tune_on_two_occasions_stands_on_one_sheet(client) -> None:
    tune = a_tune(client, "The Wicker Gate")
    asked = client.get(f"/tunes/{tune}/side-by-side.pdf")
    assert "May this music be copied?" in asked.text
    answer = client.get(f"/tunes/{tune}/side-by-side.pdf?ask=done&right=competition:medley")
    assert answer.headers["content-type"] == "application/pdf"
    text = words(answer.content)
    assert "Competition, medley" in text
    assert "What differs" in text


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
        paper = printing.submit(client.get, f"/events/{event}/phrased-music.pdf?ask=done")
        assert client.get("/healthz").status_code == 200
        assert paper.result().content.startswith(b"%PDF-")


def with_harmony() -> bytes:
    """The march with a second voice, as its MusicXML."""
    melody = read_tune("march.abc", march()).tune
    second = read_tune("second.abc", march(bars="c2 d2|e2 f2|c2 d2|c4|")).tune
    return write_musicxml(replace(melody, harmonies=(second.parts,))).encode()


def test_the_pipe_harmony_is_printed_below_its_tune_on_request(client: TestClient) -> None:
    (kept,) = upload(client, with_harmony(), "march.musicxml").json()
    assert "harmony" in [finding["code"] for finding in kept["findings"]]
    event = an_event(client, a_set(client, kept["key"]), occasion="exhibition")
    page = client.get(f"/events/{event}").text
    assert f"/events/{event}/phrased-music.pdf?harmony=true" in page
    heading = "Pipe harmony, with the melody's marks"
    assert heading not in words(sheet(client, event, "phrased-music"))
    assert heading in words(sheet(client, event, "phrased-music", harmony="true"))
    plain = client.get(f"/tunes/{kept['key']}").text
    assert "One further pipe voice is kept as harmony; the plan is the melody" in plain


def test_an_event_without_harmony_offers_none(client: TestClient, event: str) -> None:
    assert "harmony=true" not in client.get(f"/events/{event}").text
    assert "Pipe harmony" not in words(sheet(client, event, "phrased-music", harmony="true"))
