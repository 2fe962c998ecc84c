"""What a paper says to those who listen, checked by reading its structure with another library.

This is our own check of tags, language, title, outline and words for pictures; it does not certify
conformance to any standard.
"""

from dataclasses import replace
from itertools import pairwise

import pypdfium2 as pdfium
import pytest

from api.printing.pdf import sections_to_pdf
from api.printing.pdf_file import read_pdf
from api.printing.press import Press
from api.printing.sheets import call_sections, drum_sections, phrased_sections, set_card_sections
from tests.api.printing.paper import described, headings, page_words, spoken
from tests.api.printing.views import (
    LINE,
    call_sheet,
    drum_sheet,
    front_card,
    phrased_music,
    phrased_tune,
    set_card,
)

WORDS = "Music of The Lantern on Harrow Brae: part 1, eight bars. No marks."
CODED = Press(address="https://band.example.org/events/7")


@pytest.fixture(scope="module")
def papers() -> dict[str, bytes]:
    tune = phrased_tune(systems=(replace(LINE, label=WORDS),))
    sections = {
        "set cards": set_card_sections((set_card(),), front_card(), CODED),
        "phrased music": phrased_sections(phrased_music(tune), CODED),
        "drum sheet": drum_sections(drum_sheet(), CODED),
        "call sheet": call_sections(call_sheet(), CODED),
    }
    return {name: sections_to_pdf(each, name) for name, each in sections.items()}


SHEETS = ("set cards", "phrased music", "drum sheet", "call sheet")


@pytest.mark.parametrize("name", SHEETS)
def test_a_paper_says_its_title_and_its_language_and_that_it_has_structure(papers, name) -> None:
    catalog = (file := read_pdf(papers[name])).objects[file.root].head
    assert b"/Lang (en)" in catalog
    assert b"/Marked true" in catalog
    assert b"/DisplayDocTitle true" in catalog
    assert described(papers[name])["Title"] == name


@pytest.mark.parametrize("name", SHEETS)
def test_every_page_has_one_highest_heading_and_no_level_is_left_out(papers, name) -> None:
    for number in range(len(page_words(papers[name]))):
        kinds = [node.kind for node in spoken(papers[name], number)]
        levels = [int(kind[1]) for kind in kinds if kind in ("H1", "H2", "H3")]
        assert levels[0] == 1
        assert levels.count(1) == 1
        assert all(after - before <= 1 for before, after in pairwise(levels))


@pytest.mark.parametrize("name", SHEETS)
def test_every_picture_has_words(papers, name) -> None:
    for number in range(len(page_words(papers[name]))):
        pictures = [node for node in spoken(papers[name], number) if node.kind == "Figure"]
        assert all(node.alt for node in pictures)


def test_engraved_music_is_said_in_words(papers) -> None:
    assert WORDS in [node.alt for node in spoken(papers["phrased music"])]


def test_the_outline_leads_to_every_set_and_tune(papers) -> None:
    cards = headings(papers["set cards"])
    assert ("Set 1: Street set", 1) in cards
    assert ("1 The Lantern on Harrow Brae", 1) in cards
    assert ("The Lantern on Harrow Brae", 0) in headings(papers["phrased music"])


def test_tables_have_heads(papers) -> None:
    kinds = {node.kind for node in spoken(papers["call sheet"])}
    assert {"Table", "THead", "TBody", "TR", "TH", "TD"} <= kinds


def test_what_is_heard_comes_in_the_order_of_the_view(papers) -> None:
    text = page_words(papers["set cards"])[1]
    said = ("parade", "strict", "84", "Set 1", "The Lantern", "Start", "hold the D", "Stop signal")
    places = [text.find(word) for word in said]
    assert -1 not in places
    assert places == sorted(places)


@pytest.mark.parametrize("name", SHEETS)
def test_a_paper_says_nothing_of_who_made_it_or_when_it_was_printed(papers, name) -> None:
    told = described(papers[name])
    assert set(told) <= {"Title", "Creator", "Producer"}
    assert pdfium.PdfDocument(papers[name]).count_attachments() == 0
