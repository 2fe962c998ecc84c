"""Do the words come out of a paper in the order in which its view says them?

Two readers: PDFium's text of the page, and, where the machine has it, Poppler's ``pdftotext -raw``,
which keep to the order in which the page was written, as a reader aloud without tags would.
"""

import html
import re
import shutil
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest

from api.actions.print_order import PrintOrder
from api.actions.sheets import OF_ONE_PLAYER, Draft, Sheet, Wish, draft_of
from api.printing.sheets import set_card_sections
from tests.api.display.events import (
    CONTEST,
    JO,
    jig,
    march,
    planned_entry,
    planned_event,
    planned_set,
)
from tests.api.printing.paper import page_words
from tests.api.printing.views import card_tune, set_card

SETS = (
    planned_set(planned_entry(march(), CONTEST), planned_entry(jig(), CONTEST)),
    planned_set(planned_entry(jig(), CONTEST), number=2, name="Hill set"),
)
ORDER = PrintOrder(1, planned_event(*SETS, setting=CONTEST), {}, reader=JO)
# What stands in the margins, and what the style sheet hides on this paper.
ELSEWHERE = (
    r'(?s)<head>.*?</head>|<(div|p) class="(?:card-foot|sheet-top|sheet-foot|elsewhere)">.*?</\1>'
)
SHEETS = [*Sheet, "half sheets"]


def drafted(name: str) -> Draft:
    if name == "half sheets":
        return draft_of(ORDER, Sheet.PHRASED_MUSIC, Wish(is_half=True))
    return draft_of(ORDER if name in OF_ONE_PLAYER else replace(ORDER, reader=None), Sheet(name))


def said(page: str) -> list[str]:
    """What stands in a sheet's HTML piece by piece, in order."""
    pieces = re.split(r"<[^>]*>", re.sub(ELSEWHERE, "<p>", page))
    return [squeezed for piece in pieces if (squeezed := packed(html.unescape(piece)))]


def packed(words: str) -> str:
    """Words without white space and capitals, which paper may set otherwise."""
    return "".join(words.split()).casefold()


def assert_in_order(wanted: list[str], found: str) -> None:
    """Every piece of the view comes, one after the other; between them what stands in margins."""
    place = 0
    for index, piece in enumerate(wanted):
        at = found.find(piece, place)
        assert at >= 0, f"out of order: {piece!r} after {wanted[max(0, index - 4) : index]}"
        place = at + len(piece)


@pytest.mark.parametrize("name", SHEETS)
def test_the_words_of_a_paper_come_in_the_order_of_its_view(name: str) -> None:
    draft = drafted(name)
    wanted = [piece for section in draft.sections for piece in said(section.html)]
    found = packed(" ".join(page_words(draft.print())))
    assert len(wanted) > 8
    if name == "half sheets":  # reasons and small print are left to the full sheet
        wanted = wanted[: wanted.index("where")]
    assert_in_order(wanted, found)


def test_what_a_player_does_comes_after_the_title_on_a_large_card_too() -> None:
    tunes = [card_tune(n, f"Tune {n}", mine="You are out") for n in range(1, 9)]
    (section,) = set_card_sections((set_card(*tunes),), None)
    found = page_words(Draft("cards.pdf", "Cards", (section,)).print())
    assert_in_order(said(section.html), packed(" ".join(found)))


@pytest.mark.skipif(not shutil.which("pdftotext"), reason="Poppler's pdftotext is not installed")
@pytest.mark.parametrize("name", [Sheet.SET_CARDS, Sheet.DRUM_SHEET, Sheet.CALL_SHEET])
def test_another_reader_finds_the_same_order(name: str, tmp_path: Path) -> None:
    draft = drafted(name)
    path = tmp_path / "sheet.pdf"
    path.write_bytes(draft.print())
    read = subprocess.run(["pdftotext", "-raw", str(path), "-"], capture_output=True, check=True)
    wanted = [piece for section in draft.sections for piece in said(section.html)]
    assert_in_order(wanted, packed(read.stdout.decode()))
