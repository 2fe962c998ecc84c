"""How does a whole library leave and come back? As a copy, or as one readable zip.

The zip holds ``library.json``, with every row as plain values, and ``files/``, with every music
file and attachment by its hash. What is exported and imported again is the same library.
"""

from __future__ import annotations

import hashlib
import io
import json
import zipfile
from pathlib import Path
from typing import Any

from api.storage.copies import back_up, put_back
from api.storage.database import Database
from api.storage.whole import all_rows, holds_anything, present_shape, put_all_rows
from planner.errors import RequestError

DOCUMENT, FILES = "library.json", "files/"
FORMAT = "pacestick library"
# A zip may claim to hold far more than it weighs: this is the most that is unpacked.
MOST_BYTES = 2_000_000_000
LONG_AGO = (1980, 1, 1, 0, 0, 0)


def back_up_library(database: Database, out: Path) -> int:
    """Copy the library into a new file, whole and of one moment; its size in bytes.

    Raises:
        RequestError: the file is there already or cannot be written.
    """
    return back_up(database, out)


def restore_library(database: Database, source: Path, replace: bool) -> None:
    """Put a copy in place of the library; ``replace`` allows it where there is something.

    Raises:
        RequestError: the library is not empty, or the file is no copy of one.
    """
    _refuse_to_lose(database, replace)
    put_back(database, source)


def export_library(database: Database) -> bytes:
    """The library as a zip; the same library gives the same bytes."""
    with database.reading() as session:
        rows, files = all_rows(session)
    document = {"format": FORMAT, "shape": present_shape(), "tables": rows}
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as pack:
        text = json.dumps(document, ensure_ascii=False, indent=1, sort_keys=True)
        pack.writestr(zipfile.ZipInfo(DOCUMENT, LONG_AGO), text, zipfile.ZIP_DEFLATED)
        for name, content in sorted(files.items()):
            pack.writestr(zipfile.ZipInfo(f"{FILES}{name}", LONG_AGO), content)
    return packed.getvalue()


def import_library(database: Database, content: bytes, replace: bool) -> int:
    """Put an exported library in place of this one, whole or not at all; how many rows.

    Raises:
        RequestError: the library is not empty, or the zip is no exported library.
    """
    document, files = _unpacked(content)
    if document.get("format") != FORMAT or not isinstance(document.get("tables"), dict):
        raise RequestError("file", "it is no exported library", "name a file made by export")
    if document.get("shape") != present_shape():
        problem = f"it has the shape {document.get('shape')}, this version has {present_shape()}"
        raise RequestError("file", problem, "export it with the same version of Pacestick")
    _refuse_to_lose(database, replace)
    with database.writing() as session:
        count = put_all_rows(session, document["tables"], files)
        session.commit()
    return count


def _refuse_to_lose(database: Database, replace: bool) -> None:
    if replace:
        return
    with database.reading() as session:
        if holds_anything(session):
            problem = "there is something in it, which would be lost"
            raise RequestError("library", problem, "say --replace, or name another --data")


def _unpacked(content: bytes) -> tuple[dict[str, Any], dict[str, bytes]]:
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as pack:
            return _read(pack)
    except (zipfile.BadZipFile, KeyError, ValueError, RuntimeError) as error:
        raise RequestError(
            "file", "it is no exported library", "name a file made by export"
        ) from error


def _read(pack: zipfile.ZipFile) -> tuple[dict[str, Any], dict[str, bytes]]:
    if sum(each.file_size for each in pack.infolist()) > MOST_BYTES:
        raise RequestError("file", "it unpacks to more than 2 GB", "name a file made by export")
    document = json.loads(pack.read(DOCUMENT))
    if not isinstance(document, dict):
        raise ValueError("not a document")
    files = {
        name.removeprefix(FILES): pack.read(name)
        for name in pack.namelist()
        if name.startswith(FILES)
    }
    for name, held in files.items():
        if hashlib.sha256(held).hexdigest() != name:
            raise RequestError("file", f"the content of {name[:12]} is damaged", "export it again")
    return document, files
