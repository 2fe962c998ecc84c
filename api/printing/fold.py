"""How are the small sides of a paper laid on larger sheets that are folded once?

Two sides lie beside each other on a sheet twice their size. Up to two sides make one sheet printed
on one side and folded outwards. More make a booklet: printed on both sides (turned over the short
edge), laid on each other and folded once, its sides follow each other in reading order. A folded
paper is for the printer only: it carries no structure for those who listen, the plain one does.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from api.printing.pdf_file import PdfFile, PdfObject, pointer, read_pdf, text_string, write_pdf

SIDES_A_SHEET = 4
BLANK = None
_BOX = re.compile(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]")


def fold(paper: bytes, title: str, identity: str) -> bytes:
    """The sides of a paper two by two, in the order in which they are printed."""
    file = read_pdf(paper)
    sides = [_size(file, page) for page in file.pages]
    width, height = max(w for w, _ in sides), max(h for _, h in sides)
    objects = {n: one for n, one in file.objects.items() if n not in file.pages}
    for page in file.pages:
        objects[page] = _as_picture(file, page)
    spreads = folded_order(len(file.pages))
    first = max(objects) + 1
    tree, catalog, info = first, first + 1, first + 2
    numbers = []
    for index, spread in enumerate(spreads):
        content, page = first + 3 + 2 * index, first + 4 + 2 * index
        drawn, used = _drawn(file, spread, width)
        objects[content] = PdfObject(b"<</Length %d>>" % len(drawn), drawn)
        objects[page] = _page(tree, content, used, 2 * width, height)
        numbers.append(page)
    kids = b" ".join(b"%d 0 R" % page for page in numbers)
    objects[tree] = PdfObject(b"<</Type /Pages/Kids [%b]/Count %d>>" % (kids, len(numbers)))
    objects[catalog] = PdfObject(
        b"<</Type /Catalog/Pages %d 0 R/Lang (en)/ViewerPreferences"
        b" <</DisplayDocTitle true/Duplex /DuplexFlipShortEdge>>>>" % tree
    )
    objects[info] = PdfObject(_info(file, title))
    return write_pdf(PdfFile(_reachable(objects, catalog, info), catalog, info), identity.encode())


def folded_order(sides: int) -> tuple[tuple[int | None, int | None], ...]:
    """Which sides lie beside each other, (left, right), a printed page each; None is a blank."""
    if sides <= 2:
        return ((1 if sides == 2 else BLANK, 0),)
    padded = -(-sides // SIDES_A_SHEET) * SIDES_A_SHEET
    spreads: list[tuple[int | None, int | None]] = []
    for front in range(0, padded // 2, 2):
        spreads.append((_side(padded - 1 - front, sides), _side(front, sides)))
        spreads.append((_side(front + 1, sides), _side(padded - 2 - front, sides)))
    return tuple(spreads)


def _side(index: int, sides: int) -> int | None:
    return index if index < sides else BLANK


def _size(file: PdfFile, page: int) -> tuple[float, float]:
    found = _BOX.search(file.objects[page].head)
    assert found is not None
    return float(found[1]), float(found[2])


def _as_picture(file: PdfFile, page: int) -> PdfObject:
    """A page as a picture that can be laid anywhere."""
    head = file.objects[page].head
    content = file.objects[pointer(head, b"Contents")]
    width, height = _size(file, page)
    form = b"<</Type /XObject/Subtype /Form/BBox [0 0 %.3f %.3f]/Resources %d 0 R" % (
        width,
        height,
        pointer(head, b"Resources"),
    )
    return PdfObject(form + content.head.removeprefix(b"<<"), content.body)


def _drawn(
    file: PdfFile, spread: Sequence[int | None], width: float
) -> tuple[bytes, dict[bytes, int]]:
    drawn, used = [], {}
    for place, side in enumerate(spread):
        if side is not BLANK:
            name = b"side%d" % place
            used[name] = file.pages[side]
            drawn.append(b"q 1 0 0 1 %.3f 0 cm /%b Do Q" % (place * width, name))
    return b"\n".join(drawn), used


def _page(
    tree: int, content: int, used: dict[bytes, int], width: float, height: float
) -> PdfObject:
    pictures = b"".join(b"/%b %d 0 R" % each for each in used.items())
    return PdfObject(
        b"<</Type /Page/Parent %d 0 R/MediaBox [0 0 %.3f %.3f]/Contents %d 0 R"
        b"/Resources <</XObject <<%b>>>>>>" % (tree, width, height, content, pictures)
    )


def _info(file: PdfFile, title: str) -> bytes:
    kept = re.findall(
        rb"/(?:Producer|CreationDate|Creator) \([^)]*\)", file.objects[file.info].head
    )
    return b"<<%b/Title %b>>" % (b"".join(kept), text_string(title))


def _reachable(objects: dict[int, PdfObject], *starts: int) -> dict[int, PdfObject]:
    """Only what the folded paper shows: the structure of the plain one stays behind."""
    found: dict[int, PdfObject] = {}
    waiting = list(starts)
    while waiting:
        number = waiting.pop()
        if number not in found and number in objects:
            found[number] = objects[number]
            waiting += [int(n) for n in re.findall(rb"\b(\d+) 0 R\b", objects[number].head)]
    return found
