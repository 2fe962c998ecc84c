"""Is an attached scan printed in place of the notes: a PDF page by page, a photo upright?"""

import io

import numpy as np
import PIL.Image
import pytest

from api.display.paper.pictures import scan_pictures
from api.printing import scan
from api.printing.pdf import html_to_pdf, sections_to_pdf
from api.printing.scan import MOST_DOTS, MOST_PAGES, ScannedPage, scanned_pages
from api.printing.sheets import phrased_sections
from tests.api.printing.paper import picture_of, spoken, words
from tests.api.printing.views import phrased_music, phrased_tune

# Exif 2.3, table of tag 274 (orientation): 6 says that the camera was turned a quarter.
ORIENTATION, TURNED = 274, 6


def two_page_pdf() -> bytes:
    head = '<html lang="en"><head><title>Old book</title></head>'
    first, second = ("<h1>First page</h1>", '<h1 style="break-before: page">Second page</h1>')
    return html_to_pdf(f"{head}<body>{first}{second}</body></html>")


def photo(size: tuple[int, int] = (4000, 3000), turned: bool = False) -> bytes:
    """A photo that is dark in its left half."""
    picture = PIL.Image.new("RGB", size, "white")
    picture.paste((40, 20, 60), (0, 0, size[0] // 2, size[1]))
    packed, exif = io.BytesIO(), PIL.Image.Exif()
    if turned:
        exif[ORIENTATION] = TURNED
    picture.save(packed, "JPEG", exif=exif)
    return packed.getvalue()


def seen(page: ScannedPage) -> np.ndarray:
    return np.asarray(PIL.Image.open(io.BytesIO(page.jpeg)))


def test_every_page_of_a_pdf_is_a_picture_with_ink() -> None:
    pages = scanned_pages(two_page_pdf(), "application/pdf")
    assert len(pages) == 2
    assert all(page.height > page.width for page in pages)
    assert all((seen(page) < 100).sum() > 500 for page in pages)


def test_a_pdf_of_many_pages_is_printed_in_part_only() -> None:
    head = '<html lang="en"><head><title>A long book</title></head>'
    many = '<p style="break-after: page">page</p>' * (MOST_PAGES + 3)
    pages = scanned_pages(html_to_pdf(f"{head}<body>{many}</body></html>"), "application/pdf")
    assert len(pages) == MOST_PAGES


def test_a_photo_is_grey_and_no_finer_than_paper() -> None:
    content = photo()
    (page,) = scanned_pages(content, "image/jpeg")
    assert max(page.width, page.height) <= MOST_DOTS
    assert PIL.Image.open(io.BytesIO(page.jpeg)).mode == "L"


def test_a_photo_from_a_turned_camera_stands_upright() -> None:
    (page,) = scanned_pages(photo(turned=True), "image/jpeg")
    assert page.height > page.width
    top, bottom = np.split(seen(page)[: page.height // 2 * 2], 2)
    assert top.mean() < 100 < bottom.mean()


def test_what_is_transparent_prints_white() -> None:
    packed = io.BytesIO()
    PIL.Image.new("RGBA", (50, 40), (0, 0, 0, 0)).save(packed, "PNG")
    (page,) = scanned_pages(packed.getvalue(), "image/png")
    assert seen(page).min() > 250


@pytest.mark.parametrize(
    ("content", "media_type"),
    [
        (b"%PDF-1.7 and nothing more", "application/pdf"),
        (b"\x89PNG\r\n\x1a\n and nothing more", "image/png"),
        (photo((40, 30))[:200], "image/jpeg"),
    ],
    ids=["pdf", "png", "jpeg"],
)
def test_a_broken_file_gives_no_page_and_no_fault(content: bytes, media_type: str) -> None:
    assert scanned_pages(content, media_type) == ()


def test_a_picture_made_to_exhaust_the_machine_is_not_read(monkeypatch) -> None:
    rows = 60_000  # 3.6 thousand million dots of one shade: some hundred kB on file
    monkeypatch.setattr(PIL.Image, "MAX_IMAGE_PIXELS", None)
    packed = io.BytesIO()
    PIL.Image.new("1", (rows, rows // 4)).save(packed, "PNG")
    scan.scanned_pages.cache_clear()
    assert scanned_pages(packed.getvalue(), "image/png") == ()


def test_the_pages_of_a_scan_stand_on_the_sheet_each_with_its_words() -> None:
    pages = scanned_pages(two_page_pdf(), "application/pdf")
    pictures = scan_pictures([(p.jpeg, p.width, p.height) for p in pages], "The Mill Gate")
    tune = phrased_tune(systems=(), marks=(), legend=(), scans=pictures, no_notes="No notes.")
    paper = sections_to_pdf(phrased_sections(phrased_music(tune)))
    assert "No notes." in words(paper)
    for number in (1, 2):
        alts = [node.alt for node in spoken(paper, number) if node.kind == "Figure"]
        assert alts == [f"Scan of The Mill Gate, page {number} of 2"]
        assert picture_of(paper, number).crop((60, 60, 540, 780)).getextrema()[0] < 100
