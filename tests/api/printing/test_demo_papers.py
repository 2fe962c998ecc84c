"""The sheets for one person and for two occasions, printed from the demo band over HTTP.

Templates looked at here: learner_overview, learner_tune, outs_card, side_by_side.
"""

import io
import shutil
from collections.abc import Iterator

import pypdfium2
import pytest
from fastapi.testclient import TestClient

from api.app import create_app
from api.settings import Settings
from tests.api.library import AT_THIS_MACHINE

HERE = "http://127.0.0.1:8000"
DARK = 128


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """The service with the demo band, opened once for all papers."""
    folder = tmp_path_factory.mktemp("papers")
    app = create_app(Settings(data_dir=folder, database_url="", demo=True))
    with TestClient(app, base_url=HERE, client=AT_THIS_MACHINE) as opened:
        yield opened
    shutil.rmtree(folder, ignore_errors=True)


def number_of(demo: TestClient, nouns: str, name: str, field: str = "name") -> str:
    return next(str(one["key"]) for one in demo.get(f"/api/{nouns}").json() if one[field] == name)


def pages(demo: TestClient, address: str) -> list[tuple[str, float]]:
    """Text and share of dark pixels of every page of a PDF."""
    sent = demo.get(address)
    assert sent.status_code == 200, sent.text
    assert sent.headers["content-type"] == "application/pdf"
    document = pypdfium2.PdfDocument(io.BytesIO(sent.content))
    looked = []
    for page in document:
        picture = page.render(scale=1).to_pil().convert("L")
        dark = sum(picture.histogram()[:DARK]) / (picture.width * picture.height)
        looked.append((page.get_textpage().get_text_bounded(), dark))
    document.close()
    return looked


def harvest(demo: TestClient) -> str:
    """The event with learners in its line-up."""
    events = demo.get("/api/events").json()
    return next(str(one["key"]) for one in events if one["setting"]["occasion"] == "dance")


def test_the_learners_card_has_the_tunes_and_ink_on_every_page(demo):
    learner = next(one for one in demo.get("/api/people").json() if one["is_learner"])
    looked = pages(demo, f"/events/{harvest(demo)}/learner-card.pdf?person={learner['key']}")
    text = " ".join(words for words, _ in looked)
    assert learner["name"] in text
    assert "drop out" in text.lower()
    assert all(dark > 0.002 for _, dark in looked)


def test_the_outs_card_names_who_is_out_of_what(demo):
    parade = number_of(demo, "events", "Lamp Day street parade")
    ((text, _), *_) = pages(demo, f"/events/{parade}/outs.pdf?person={who_is_out(demo)[0]}")
    assert who_is_out(demo)[1] in text
    assert "Corrin Haldersby's New Boots" in text.replace("’", "'")


def who_is_out(demo: TestClient) -> tuple[str, str]:
    name = "Fergie Umberleigh"
    return number_of(demo, "people", name), name


def test_two_occasions_stand_side_by_side_with_music_and_what_differs(demo):
    tune = number_of(demo, "tunes", "The Heronry at Oxenwath", "title")
    kinds = "left=parade:own-band&right=exhibition:standing"
    looked = pages(demo, f"/tunes/{tune}/side-by-side.pdf?{kinds}")
    text = " ".join(words for words, _ in looked).lower()
    assert "parade" in text
    assert "exhibition" in text
    assert "slight" in text
    assert looked[0][1] > 0.01
