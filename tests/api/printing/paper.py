"""Reading printed sheets back: their words, their ink, their fonts and the sizes of their type."""

import ctypes
from dataclasses import dataclass

import pypdfium2 as pdfium
import pypdfium2.raw as raw


@dataclass(frozen=True)
class Letter:
    text: str
    size_pt: float
    font: str


def words(pdf: bytes) -> str:
    """All text in reading order, white space folded into single spaces."""
    return " ".join(" ".join(page_words(pdf)).split())


def page_words(pdf: bytes) -> list[str]:
    document = pdfium.PdfDocument(pdf)
    return [" ".join(page.get_textpage().get_text_bounded().split()) for page in document]


def page_sizes_mm(pdf: bytes) -> list[tuple[int, int]]:
    sizes = [page.get_size() for page in pdfium.PdfDocument(pdf)]
    return [(round(w / 72 * 25.4), round(h / 72 * 25.4)) for w, h in sizes]


def letters(pdf: bytes) -> list[Letter]:
    """Every visible letter with its size and font."""
    found = []
    for page in pdfium.PdfDocument(pdf):
        textpage = page.get_textpage()
        for index in range(textpage.count_chars()):
            code = raw.FPDFText_GetUnicode(textpage, index)
            if not chr(code).isspace() and code > 32:
                size_pt = round(_size_pt(textpage, index), 2)
                found.append(Letter(chr(code), size_pt, _font_name(textpage, index)))
    return found


def fonts(pdf: bytes) -> set[str]:
    return {letter.font for letter in letters(pdf)}


def _size_pt(textpage: pdfium.PdfTextPage, index: int) -> float:
    """The size on paper: the size that was asked for, times what the page is scaled by."""
    matrix = raw.FS_MATRIX()
    raw.FPDFText_GetMatrix(textpage, index, ctypes.byref(matrix))
    return raw.FPDFText_GetFontSize(textpage, index) * abs(matrix.a)


def _font_name(textpage: pdfium.PdfTextPage, index: int) -> str:
    flags = ctypes.c_int()
    buffer = ctypes.create_string_buffer(128)
    raw.FPDFText_GetFontInfo(textpage, index, buffer, 128, ctypes.byref(flags))
    return buffer.value.decode()


def picture_of(pdf: bytes, page: int = 0, dpi: int = 72):
    """The page as a greyscale picture."""
    return pdfium.PdfDocument(pdf)[page].render(scale=dpi / 72).to_pil().convert("L")


def dark_pixels(pdf: bytes, box_mm: tuple[float, float, float, float], page: int = 0) -> int:
    """Dark pixels at 72 dpi inside (left, top, right, bottom) millimetres."""
    part = picture_of(pdf, page).crop(tuple(round(v / 25.4 * 72) for v in box_mm))
    return sum(count for shade, count in enumerate(part.histogram()) if shade < 128)


@dataclass(frozen=True)
class Spoken:
    """A node of what a paper says to those who listen: its kind, its words for a picture, depth."""

    kind: str
    alt: str
    depth: int


def spoken(pdf: bytes, page: int = 0) -> list[Spoken]:
    """The structure of a page in reading order."""
    document = pdfium.PdfDocument(pdf)
    tree = raw.FPDF_StructTree_GetForPage(document[page])
    found: list[Spoken] = []
    for index in range(raw.FPDF_StructTree_CountChildren(tree)):
        _walk(raw.FPDF_StructTree_GetChildAtIndex(tree, index), 0, found)
    raw.FPDF_StructTree_Close(tree)
    return found


def _walk(element, depth: int, found: list[Spoken]) -> None:
    if not element:
        return
    kind = _text_of(raw.FPDF_StructElement_GetType, element)
    alt = _text_of(raw.FPDF_StructElement_GetAltText, element)
    found.append(Spoken(kind, alt, depth))
    for index in range(raw.FPDF_StructElement_CountChildren(element)):
        _walk(raw.FPDF_StructElement_GetChildAtIndex(element, index), depth + 1, found)


def _text_of(ask, element) -> str:
    size = ask(element, None, 0)
    buffer = ctypes.create_string_buffer(size)
    ask(element, buffer, size)
    return buffer.raw.decode("utf-16-le").rstrip("\0")


def headings(pdf: bytes) -> list[tuple[str, int]]:
    """The outline: what each heading says and the page it stands on."""
    document = pdfium.PdfDocument(pdf)
    return [(one.get_title(), one.get_dest().get_index()) for one in document.get_toc()]


def described(pdf: bytes) -> dict[str, str]:
    """What the paper says of itself, where it says anything."""
    told = pdfium.PdfDocument(pdf).get_metadata_dict()
    return {name: value for name, value in told.items() if value}
