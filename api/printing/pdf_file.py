"""How is one of our own papers read and written again, object by object?

A PDF is a list of numbered objects that point to each other. WeasyPrint writes one object after
the other with a plain table of their places, and that is all that is read here: enough to put
several papers into one or to fold one, and nothing for papers made by others. Strings are never
looked into, so no title can be taken for a pointer.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

VERSION_LINE = b"%PDF-1.7\n%\xf0\x9f\x96\xa4\n"
# Strings are skipped whole: what stands in them is words.
_STRING = rb"\((?:\\.|[^\\()])*\)"
_POINTER = re.compile(rb"(?s)" + _STRING + rb"|\b(\d+) 0 R\b")
_OBJECT = re.compile(rb"(\d+) 0 obj\n")
_STREAM = b"\nstream\n"


@dataclass(frozen=True, slots=True)
class PdfObject:
    """One object: its dictionary or array as written, and what follows it, if it is a stream."""

    head: bytes
    body: bytes | None = None

    @property
    def written(self) -> bytes:
        """The object as it stands in a file."""
        if self.body is None:
            return self.head
        return self.head + _STREAM + self.body + b"\nendstream"


@dataclass(frozen=True, slots=True)
class PdfFile:
    """The objects of a paper by number, and which of them say what it is."""

    objects: Mapping[int, PdfObject]
    root: int
    info: int

    @property
    def pages(self) -> tuple[int, ...]:
        """The numbers of the pages in order."""
        tree = pointer(self.objects[self.root].head, b"Pages")
        return pointers(self.objects[tree].head, b"Kids")


def read_pdf(content: bytes) -> PdfFile:
    """A paper that WeasyPrint wrote uncompressed, or that ``write_pdf`` wrote.

    Raises:
        ValueError: it was written by something else.
    """
    start = content.rfind(b"startxref\n")
    table, _, trailer = content[_number_after(content, start) :].partition(b"trailer\n")
    rows = table.split(b"\n")[2:]
    if not table.startswith(b"xref\n") or not trailer:
        raise ValueError("not a paper of ours")
    places = [int(row[:10]) for row in rows if row.endswith(b" n ")]
    ends = sorted([*places, content.rfind(b"xref\n", 0, start)])
    follower = dict(pairwise(ends))
    objects = dict(_object(content[at : follower[at]]) for at in places)
    return PdfFile(objects, pointer(trailer, b"Root"), pointer(trailer, b"Info"))


def write_pdf(file: PdfFile, identity: bytes) -> bytes:
    """The bytes of a paper; ``identity`` is what tells it from others, as hexadecimal digits."""
    out, places = bytearray(VERSION_LINE), {}
    for number, each in sorted(file.objects.items()):
        places[number] = len(out)
        out += b"%d 0 obj\n%b\nendobj\n" % (number, each.written)
    start, size = len(out), max(file.objects) + 1
    rows = [b"%010d 00000 n \n" % places[n] if n in places else FREE for n in range(1, size)]
    out += b"xref\n0 %d\n%b%b" % (size, FREE, b"".join(rows))
    out += b"trailer\n<</Size %d/Root %d 0 R/Info %d 0 R" % (size, file.root, file.info)
    out += b"/ID [<%b> <%b>]>>\nstartxref\n%d\n%%%%EOF\n" % (identity, identity, start)
    return bytes(out)


FREE = b"0000000000 65535 f \n"


def squeezed(file: PdfFile) -> PdfFile:
    """The same paper with every stream compressed that was not."""
    return replace(file, objects={n: _squeezed(each) for n, each in file.objects.items()})


def pointing_to(head: bytes, numbers: Mapping[int, int]) -> bytes:
    """The dictionary with its pointers to objects turned to their new numbers."""

    def turned(match: re.Match[bytes]) -> bytes:
        old = match[1]
        return match[0] if old is None else b"%d 0 R" % numbers[int(old)]

    return _POINTER.sub(turned, head)


def pointer(head: bytes, name: bytes) -> int:
    """The number of the object that an entry of a dictionary points to; 0 where there is none."""
    found = re.search(rb"/" + name + rb" (\d+) 0 R", head)
    return int(found[1]) if found else 0


def pointers(head: bytes, name: bytes) -> tuple[int, ...]:
    """The numbers of the objects that an array of a dictionary points to."""
    found = re.search(rb"/" + name + rb" \[([^\]]*)\]", head)
    return tuple(int(number) for number in re.findall(rb"(\d+) 0 R", found[1])) if found else ()


def text_string(words: str) -> bytes:
    """Words as a string of a dictionary."""
    if words.isascii():
        return b"(" + re.sub(rb"([\\()])", rb"\\\1", words.encode()) + b")"
    return b"<feff" + words.encode("utf-16-be", "replace").hex().encode() + b">"


def _object(written: bytes) -> tuple[int, PdfObject]:
    start = _OBJECT.match(written)
    if start is None:
        raise ValueError("not a paper of ours")
    content = written[start.end() :].removesuffix(b"\n").removesuffix(b"\nendobj")
    head, is_stream, body = content.partition(_STREAM)
    kept = body.removesuffix(b"\nendstream") if is_stream else None
    return int(start[1]), PdfObject(head, kept)


def _squeezed(one: PdfObject) -> PdfObject:
    # descriptions of a paper stay readable for whoever looks for them
    if one.body is None or b"/Filter" in one.head or b"/Type /Metadata" in one.head:
        return one
    packed = zlib.compress(one.body, 6)
    head = re.sub(rb"/Length \d+", b"/Filter /FlateDecode/Length %d" % len(packed), one.head)
    return PdfObject(head, packed)


def _number_after(content: bytes, start: int) -> int:
    found = re.match(rb"startxref\n(\d+)", content[start:]) if start >= 0 else None
    if found is None:
        raise ValueError("not a paper of ours")
    return int(found[1])
