"""In which format is a music file, told by its first bytes and its name?"""

from __future__ import annotations

from enum import StrEnum

_BYTE_ORDER_MARKS = (b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff")


class Format(StrEnum):
    """The open formats a file can come in; ``XML`` is MusicXML or MEI, told apart later."""

    ABC = "ABC"
    XML = "XML"
    MUSICXML = "MusicXML"
    COMPRESSED = "compressed MusicXML"
    MEI = "MEI"
    MIDI = "MIDI"


def format_of(name: str, content: bytes) -> Format:
    """The format of a file; whatever shows no other sign is taken for ABC text."""
    if content.startswith(b"PK\x03\x04"):
        return Format.COMPRESSED
    if content.startswith((b"MThd", b"RIFF")):
        return Format.MIDI
    start = content[:200]
    for mark in _BYTE_ORDER_MARKS:
        start = start.removeprefix(mark)
    is_xml = start.replace(b"\x00", b"").lstrip().startswith(b"<")
    return Format.XML if is_xml and not name.lower().endswith(".abc") else Format.ABC
