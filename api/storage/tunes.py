"""Which tunes does the band have? Questions about tunes, and their keeping."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy.orm import defer, joinedload
from sqlmodel import Session, col, select

from api.storage.convert import kept, tune_record, write_tune
from api.storage.database import BandId
from api.storage.records import Kept, NewFile, TuneRecord
from api.storage.rows import find_row, row_to_change
from api.storage.tables import EntryRow, SetRow, TuneRow, UploadRow
from api.storage.uploads import drop_unused_files, keep_file

CONTENT: Any = UploadRow.content
FILES: tuple[Any, ...] = (
    TuneRow.file,
    TuneRow.attachment,
    TuneRow.drum_file,
    TuneRow.drum_scan,
)
# The files ride along in the same question, but their contents stay where they are.
WITH_FILES = tuple(joinedload(file).options(defer(CONTENT)) for file in FILES)

BY_TITLE = (col(TuneRow.title), col(TuneRow.id))


def list_tunes(session: Session, band: BandId) -> tuple[Kept[TuneRecord], ...]:
    """Every tune of the band by title."""
    asked = select(TuneRow).where(TuneRow.band_id == band).options(*WITH_FILES)
    rows = session.exec(asked.order_by(*BY_TITLE))
    return tuple(kept(row, tune_record(row)) for row in rows)


def some_tunes(
    session: Session, band: BandId, first: int, count: int
) -> tuple[Kept[TuneRecord], ...]:
    """So many tunes of the band by title, from a place counted from 0."""
    asked = select(TuneRow).where(TuneRow.band_id == band).options(*WITH_FILES)
    rows = session.exec(asked.order_by(*BY_TITLE).offset(first).limit(count))
    return tuple(kept(row, tune_record(row)) for row in rows)


def tunes_by_number(
    session: Session, band: BandId, numbers: Sequence[int]
) -> dict[str, Kept[TuneRecord]]:
    """These tunes of the band by their key, in one question."""
    asked = select(TuneRow).where(TuneRow.band_id == band, col(TuneRow.id).in_(numbers))
    rows = session.exec(asked.options(*WITH_FILES))
    return {str(row.id): kept(row, tune_record(row)) for row in rows}


def find_tune(session: Session, band: BandId, number: int) -> Kept[TuneRecord] | None:
    """One tune, None when the band has no such tune."""
    row = find_row(session, TuneRow, band, number, *WITH_FILES)
    return None if row is None else kept(row, tune_record(row))


def add_tune(
    session: Session,
    band: BandId,
    record: TuneRecord,
    file: NewFile | None = None,
    attachment: NewFile | None = None,
) -> Kept[TuneRecord]:
    """Store a new tune, with its music or its attachment."""
    row = TuneRow(band_id=band, title=record.title, file_number=record.file_number)
    write_tune(row, record)
    row.file = keep_file(session, band, file) if file else None
    row.attachment = keep_file(session, band, attachment) if attachment else None
    session.add(row)
    session.flush()
    return kept(row, tune_record(row))


def change_tune(
    session: Session, band: BandId, number: int, seen: int | None, record: TuneRecord
) -> Kept[TuneRecord]:
    """Change what the band says of a tune.

    Raises:
        NotFoundError: the band has no such tune.
        StaleError: it has changed since ``seen``.
    """
    row = row_to_change(session, TuneRow, band, number, seen, *WITH_FILES)
    write_tune(row, record)
    row.bump()
    session.flush()
    return kept(row, tune_record(row))


def change_file(
    session: Session,
    band: BandId,
    number: int,
    seen: int | None,
    use: str,
    file: NewFile | None,
    file_number: int | None = None,
) -> Kept[TuneRecord]:
    """Put another file in place of one of a tune's.

    ``use`` is ``file``, ``attachment``, ``drum_file`` or ``drum_scan``. ``file_number`` says which
    tune of a music file it is; a tune with music needs no outline.

    Raises:
        NotFoundError: the band has no such tune.
        StaleError: it has changed since ``seen``.
    """
    row = row_to_change(session, TuneRow, band, number, seen, *WITH_FILES)
    replaced = getattr(row, f"{use}_id")
    setattr(row, use, keep_file(session, band, file) if file else None)
    if use == "file":
        row.file_number, row.outline_metre, row.outline_parts = file_number or 1, "", []
    row.bump()
    session.flush()
    drop_unused_files(session, band, [replaced])
    return kept(row, tune_record(row))


def remove_tune(session: Session, band: BandId, number: int, seen: int | None) -> None:
    """Remove a tune and the files that nobody else needs.

    Raises:
        NotFoundError: the band has no such tune.
        StaleError: it has changed since ``seen``.
    """
    row = row_to_change(session, TuneRow, band, number, seen, *WITH_FILES)
    files = (row.file_id, row.attachment_id, row.drum_file_id, row.drum_scan_id)
    session.delete(row)
    session.flush()
    drop_unused_files(session, band, files)


def sets_with_tune(session: Session, band: BandId, number: int) -> tuple[str, ...]:
    """The names of the sets a tune is in."""
    asked = (
        select(SetRow.name)
        .join(EntryRow, col(EntryRow.set_id) == col(SetRow.id))
        .where(SetRow.band_id == band, EntryRow.tune_id == number)
    )
    return tuple(session.exec(asked.distinct().order_by(SetRow.name)))
