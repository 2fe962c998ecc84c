"""How do several papers become one?

Pages, their words for those who listen (the structure tree) and their headings (the outline)
follow each other; each paper keeps its own letters and pictures. Nothing is laid out or drawn
again, so a bundle costs no more than its distinct pages.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from api.printing.pdf_file import (
    PdfFile,
    PdfObject,
    pointer,
    pointers,
    pointing_to,
    read_pdf,
    text_string,
    write_pdf,
)

# What a bundle has once, whatever is in it: these numbers come first.
CATALOG, PAGES, TREE, PARENTS, DOCUMENT, OUTLINE, METADATA, INFO = range(1, 9)
FIRST_FREE = 9

_STRING = rb"\((?:\\.|[^\\()])*\)"
_PARENT_KEY = re.compile(rb"(?s)" + _STRING + rb"|/(StructParents?) (\d+)")
_PARENT_ROW = re.compile(rb"(\d+) (\[[^\]]*\]|\d+ 0 R)")
_HEADING_ID = re.compile(rb"(/ID |/Headers \[)((?:\(\d+-\d+-\d+\) ?)+)")


@dataclass
class _Bundle:
    """The bundle as it grows."""

    objects: dict[int, PdfObject] = field(default_factory=dict)
    pages: list[int] = field(default_factory=list)
    documents: list[int] = field(default_factory=list)
    parents: list[bytes] = field(default_factory=list)
    parent_count: int = 0
    headings: list[tuple[int, int]] = field(default_factory=list)
    heading_count: int = 0
    next_number: int = FIRST_FREE


def merge(papers: Sequence[bytes], title: str, identity: str) -> bytes:
    """The papers in one, under a title of its own; a single one is given a title and no more."""
    files = [read_pdf(paper) for paper in papers]
    bundle = _Bundle()
    for index, file in enumerate(files):
        _add(bundle, file, index)
    _chain_headings(bundle)
    bundle.objects |= dict(_frame(bundle, files[0], title))
    return write_pdf(PdfFile(bundle.objects, CATALOG, INFO), identity.encode())


def _add(bundle: _Bundle, file: PdfFile, index: int) -> None:
    catalog = file.objects[file.root].head
    tree = pointer(catalog, b"StructTreeRoot")
    parents = pointer(file.objects[tree].head, b"ParentTree")
    shared = {
        file.root: CATALOG,
        pointer(catalog, b"Pages"): PAGES,
        tree: TREE,
        parents: PARENTS,
        pointer(catalog, b"Outlines"): OUTLINE,
        pointer(catalog, b"Metadata"): METADATA,
        file.info: INFO,
    }
    numbers = dict(shared)
    for old in sorted(file.objects):
        if old not in shared:
            numbers[old] = bundle.next_number
            bundle.next_number += 1
    document = pointers(file.objects[tree].head, b"K")[0]
    shift = bundle.parent_count
    for old, each in file.objects.items():
        if old not in shared:
            head = _own(pointing_to(each.head, numbers), shift, index)
            head = _as_a_part(head) if old == document else head
            bundle.objects[numbers[old]] = PdfObject(head, each.body)
    bundle.pages += [numbers[page] for page in file.pages]
    bundle.documents.append(numbers[document])
    _add_parents(bundle, pointing_to(file.objects[parents].head, numbers), shift)
    _add_headings(bundle, file, numbers)


def _own(head: bytes, shift: int, index: int) -> bytes:
    """The dictionary with the keys that must differ from those of the other papers."""

    def shifted(match: re.Match[bytes]) -> bytes:
        name, key = match[1], match[2]
        return match[0] if name is None else b"/%b %d" % (name, int(key) + shift)

    def named(match: re.Match[bytes]) -> bytes:
        return match[1] + match[2].replace(b"(", b"(%d-" % index)

    return _HEADING_ID.sub(named, _PARENT_KEY.sub(shifted, head))


def _as_a_part(head: bytes) -> bytes:
    """A paper's own tree becomes a part of the bundle's."""
    return head.replace(b"/S /Document", b"/S /Part", 1).replace(
        b"/P %d 0 R" % TREE, b"/P %d 0 R" % DOCUMENT, 1
    )


def _add_parents(bundle: _Bundle, head: bytes, shift: int) -> None:
    listed = head[head.index(b"[") + 1 : head.rindex(b"]")]
    rows = _PARENT_ROW.findall(listed)
    bundle.parents += [b"%d %b" % (int(key) + shift, value) for key, value in rows]
    bundle.parent_count += len(rows)


def _add_headings(bundle: _Bundle, file: PdfFile, numbers: dict[int, int]) -> None:
    outline = pointer(file.objects[file.root].head, b"Outlines")
    if not outline:
        return
    head = file.objects[outline].head
    first, last = pointer(head, b"First"), pointer(head, b"Last")
    count = re.search(rb"/Count (\d+)", head)
    if first:
        bundle.headings.append((numbers[first], numbers[last]))
        bundle.heading_count += int(count[1]) if count else 1


def _chain_headings(bundle: _Bundle) -> None:
    for (_, last), (first, _) in zip(bundle.headings, bundle.headings[1:], strict=False):
        _append(bundle, last, b"/Next %d 0 R" % first)
        _append(bundle, first, b"/Prev %d 0 R" % last)


def _append(bundle: _Bundle, number: int, entry: bytes) -> None:
    one = bundle.objects[number]
    bundle.objects[number] = PdfObject(one.head.removesuffix(b">>") + entry + b">>", one.body)


def _frame(bundle: _Bundle, first: PdfFile, title: str) -> Iterator[tuple[int, PdfObject]]:
    """What a bundle has once."""
    catalog = first.objects[first.root].head
    kept = re.search(rb"/Lang (" + _STRING + rb")", catalog)
    language = kept[1] if kept else b"(en)"
    outline = b"/Outlines %d 0 R" % OUTLINE if bundle.headings else b""
    yield (
        CATALOG,
        PdfObject(
            b"<</Type /Catalog/Pages %d 0 R/Lang %b%b/StructTreeRoot %d 0 R/Metadata %d 0 R"
            b"/ViewerPreferences <</DisplayDocTitle true>>/MarkInfo <</Marked true>>>>"
            % (PAGES, language, outline, TREE, METADATA)
        ),
    )
    kids = _list(bundle.pages)
    count = len(bundle.pages)
    yield PAGES, PdfObject(b"<</Type /Pages/Kids [%b]/Count %d>>" % (kids, count))
    yield (
        TREE,
        PdfObject(b"<</Type /StructTreeRoot/ParentTree %d 0 R/K [%d 0 R]>>" % (PARENTS, DOCUMENT)),
    )
    yield PARENTS, PdfObject(b"<</Nums [%b]>>" % b" ".join(bundle.parents))
    parts = _list(bundle.documents)
    yield (
        DOCUMENT,
        PdfObject(b"<</Type /StructElem/S /Document/K [%b]/P %d 0 R>>" % (parts, TREE)),
    )
    if bundle.headings:
        yield (
            OUTLINE,
            PdfObject(
                b"<</Count %d/First %d 0 R/Last %d 0 R>>"
                % (bundle.heading_count, bundle.headings[0][0], bundle.headings[-1][1])
            ),
        )
    yield METADATA, _metadata(first, title)
    info = first.objects[first.info].head
    yield INFO, PdfObject(_retitled(info, title))


def _retitled(info: bytes, title: str) -> bytes:
    words = b"/Title " + text_string(title)
    pattern = rb"(?s)/Title (?:" + _STRING + rb"|<[0-9a-fA-F]*>)"
    return re.sub(pattern, lambda _: words, info, count=1)


def _metadata(first: PdfFile, title: str) -> PdfObject:
    one = first.objects[pointer(first.objects[first.root].head, b"Metadata")]
    safe = title.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").encode()
    pattern = rb"(?s)(xml:lang=\"x-default\">)[^<]*"
    body = re.sub(pattern, lambda m: m[1] + safe, one.body or b"", count=1)
    head = re.sub(rb"/Length \d+", b"/Length %d" % len(body), one.head)
    return PdfObject(head, body)


def _list(numbers: Sequence[int]) -> bytes:
    return b" ".join(b"%d 0 R" % number for number in numbers)
