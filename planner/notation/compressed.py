"""What does a compressed MusicXML file (``.mxl``) hold?

A zip archive whose ``META-INF/container.xml`` names the score. Sizes are checked before and while
unpacking, so that a small file cannot grow without end.
"""

from __future__ import annotations

import io
import lzma
import re
import struct
import zipfile
import zlib

from planner.errors import NotationError

MOST_MEMBERS = 200
MOST_UNPACKED_BYTES = 8_000_000
# What the standard library raises over a damaged archive: sizes, places, checksums, names, locks.
_BROKEN = (
    zipfile.BadZipFile,
    zlib.error,
    lzma.LZMAError,
    struct.error,
    ValueError,
    RuntimeError,
    EOFError,
    OSError,
)
_FULL_PATH = re.compile(rb"""full-path\s*=\s*["']([^"']+)["']""")


def unpacked_score(name: str, content: bytes) -> bytes:
    """The score's XML out of a compressed MusicXML file.

    Raises:
        NotationError: the archive is broken, too large, or holds no score.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            if len(archive.infolist()) > MOST_MEMBERS:
                raise _refused(name, "the archive holds too many files")
            return _member(name, archive, _score_path(name, archive))
    except _BROKEN as error:
        raise _refused(name, "the compressed file is broken or locked") from error


def _score_path(name: str, archive: zipfile.ZipFile) -> str:
    names = archive.namelist()
    if "META-INF/container.xml" in names:
        match = _FULL_PATH.search(_member(name, archive, "META-INF/container.xml"))
        path = match.group(1).decode("utf-8", errors="replace") if match else ""
        if path in names:
            return path
    scores = [each for each in names if each.lower().endswith((".xml", ".musicxml"))]
    scores = [each for each in scores if not each.startswith("META-INF/")]
    if not scores:
        raise _refused(name, "the archive holds no score")
    return scores[0]


def _member(name: str, archive: zipfile.ZipFile, path: str) -> bytes:
    with archive.open(path) as member:
        content = member.read(MOST_UNPACKED_BYTES + 1)
    if len(content) > MOST_UNPACKED_BYTES:
        raise _refused(name, "the archive grows beyond 8 MB when it is unpacked")
    return content


def _refused(name: str, problem: str) -> NotationError:
    return NotationError(name, "", problem, "export the tune as plain MusicXML and try again")
