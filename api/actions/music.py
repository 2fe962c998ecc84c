"""What do these tunes of the library sound like? Their records with the music of their files."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from api.actions.reading import LibraryTune, is_remembered, library_tune
from api.storage.database import BandId, Session
from api.storage.records import Kept, TuneRecord
from api.storage.uploads import contents_of


def with_music(
    session: Session, band: BandId, tunes: Sequence[Kept[TuneRecord]]
) -> tuple[Kept[LibraryTune], ...]:
    """Tunes with their music; files that were read before are not fetched again."""
    files = [kept.noun.file for kept in tunes if kept.noun.file is not None]
    needed = {file.id for file in files if not is_remembered(file.name, file.sha256)}
    contents = contents_of(session, band, needed) if needed else {}
    return tuple(read_with(each, _content(each.noun, contents)) for each in tunes)


def read_with(kept: Kept[TuneRecord], content: bytes) -> Kept[LibraryTune]:
    """A tune with the music of the file that has this content."""
    return Kept(kept.id, kept.version, kept.changed_at, library_tune(kept.noun, content))


def _content(record: TuneRecord, contents: Mapping[int, bytes]) -> bytes:
    # Nothing was fetched for a file that is remembered, and nothing is needed.
    return contents.get(record.file.id, b"") if record.file else b""
