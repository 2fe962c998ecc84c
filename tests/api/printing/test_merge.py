import re

import pytest

from api.printing.merge import merge
from api.printing.pdf import Section, section_to_pdf
from api.printing.pdf_file import PdfFile, read_pdf, text_string, write_pdf
from tests.api.printing.paper import described, headings, page_words, spoken

# Words that look like the language of the file itself.
NASTY = r"5 0 R \ (one) 1-2-3 /StructParents 7 endobj"


def page(title: str) -> Section:
    safe = title.replace("&", "&amp;").replace("<", "&lt;")
    table = "<table><tr><th>name</th></tr><tr><td>one</td></tr></table>"
    head = f'<html lang="en"><head><title>{safe}</title></head>'
    return Section(f"{head}<body><h1>{safe}</h1><p>words</p>{table}</body></html>")


@pytest.fixture(scope="module")
def bundle() -> bytes:
    papers = [section_to_pdf(page(title)) for title in ("First", NASTY, "Söngur")]
    return merge(papers, "All & everything: ö (1 0 R)", "ab" * 16)


def test_the_pages_of_all_papers_follow_each_other(bundle: bytes) -> None:
    first, second, third = page_words(bundle)
    assert first.startswith("First")
    assert second.startswith(NASTY)
    assert third.startswith("Söngur")


def test_every_heading_leads_to_its_page(bundle: bytes) -> None:
    assert headings(bundle) == [("First", 0), (NASTY, 1), ("Söngur", 2)]


def test_a_bundle_has_its_own_title(bundle: bytes) -> None:
    assert described(bundle)["Title"] == "All & everything: ö (1 0 R)"
    body = next(one.body for one in read_pdf(bundle).objects.values() if b"/XML" in one.head)
    assert "All &amp; everything: ö (1 0 R)" in (body or b"").decode()


def test_every_page_of_a_bundle_keeps_its_structure(bundle: bytes) -> None:
    for number in range(3):
        kinds = [node.kind for node in spoken(bundle, number)]
        assert {"H1", "P", "Table", "TH", "TD"} <= set(kinds)


def test_no_two_pages_share_a_key_of_the_structure(bundle: bytes) -> None:
    file = read_pdf(bundle)
    keys = [re.search(rb"/StructParents (\d+)", file.objects[n].head) for n in file.pages]
    assert [int(key[1]) for key in keys if key] == [0, 1, 2]


def test_every_pointer_of_a_bundle_leads_to_an_object(bundle: bytes) -> None:
    file = read_pdf(bundle)
    for each in file.objects.values():
        bare = re.sub(rb"(?s)\((?:\\.|[^\\()])*\)", b"", each.head)
        assert all(int(n) in file.objects for n in re.findall(rb"\b(\d+) 0 R\b", bare))


def test_what_is_written_is_read_back_the_same() -> None:
    file = read_pdf(section_to_pdf(page("First")))
    again = read_pdf(write_pdf(file, b"ab" * 16))
    assert again == PdfFile(dict(file.objects), file.root, file.info)


@pytest.mark.parametrize("content", [b"", b"%PDF-1.7\n%%EOF", b"startxref\n0\n%%EOF"])
def test_a_paper_that_is_not_ours_is_refused(content: bytes) -> None:
    with pytest.raises(ValueError, match="not a paper of ours"):
        read_pdf(content)


def test_words_are_written_so_that_they_cannot_end_early() -> None:
    assert text_string("a (b) \\ c") == rb"(a \(b\) \\ c)"
    assert text_string("ö") == b"<feff00f6>"
