"""Where do uploaded files lie? Once for each content, and gone with the last tune that needs it."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable

from sqlalchemy import ColumnElement, delete, or_
from sqlmodel import Session, col, select

from api.storage.database import BandId
from api.storage.records import NewFile
from api.storage.tables import TuneRow, UploadRow


def content_hash(content: bytes) -> str:
    """The SHA-256 of a file, in hexadecimal: what caches know it by."""
    return hashlib.sha256(content).hexdigest()


def keep_file(session: Session, band: BandId, file: NewFile) -> UploadRow:
    """The stored row of a file; a file the band has already is not stored twice."""
    digest = content_hash(file.content)
    known = session.exec(
        select(UploadRow).where(
            UploadRow.band_id == band,
            UploadRow.sha256 == digest,
            UploadRow.file_name == file.name,
        )
    ).first()
    if known is not None:
        return known
    row = UploadRow(
        band_id=band,
        file_name=file.name,
        media_type=file.media_type,
        sha256=digest,
        size=len(file.content),
        content=file.content,
    )
    session.add(row)
    session.flush()
    return row


def contents_of(session: Session, band: BandId, numbers: Iterable[int]) -> dict[int, bytes]:
    """The contents of several files by number, in one question."""
    asked = select(UploadRow.id, UploadRow.content).where(
        UploadRow.band_id == band, col(UploadRow.id).in_(sorted(set(numbers)))
    )
    return {number: content for number, content in session.exec(asked) if number is not None}


def drop_unused_files(session: Session, band: BandId, numbers: Iterable[int | None]) -> None:
    """Remove those of these files that no tune needs any more."""
    candidates = sorted({number for number in numbers if number is not None})
    if not candidates:
        return
    session.execute(
        delete(UploadRow).where(
            col(UploadRow.band_id) == band, col(UploadRow.id).in_(candidates), ~_is_needed()
        )
    )


def _is_needed() -> ColumnElement[bool]:
    uses = (
        TuneRow.file_id,
        TuneRow.attachment_id,
        TuneRow.drum_file_id,
        TuneRow.drum_scan_id,
    )
    return (
        select(TuneRow.id)
        .where(or_(*(col(use) == col(UploadRow.id) for use in uses)))
        .correlate(UploadRow)
        .exists()
    )
