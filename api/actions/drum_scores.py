"""What do the drummers play in a tune? Their score, kept beside the tune's music.

It is MusicXML as it was sent, or JSON where it was entered on the grid.

Read the score before the first question to the database: the reader takes its time.
"""

from __future__ import annotations

from collections.abc import Sequence

from api.actions.faults import TooLargeError
from api.actions.memo import Memo
from api.actions.music import with_music
from api.actions.reading import LibraryTune
from api.actions.shelf import shelve
from api.storage import tunes as stored
from api.storage.database import BandId, Session
from api.storage.records import Kept, NewFile, StoredFile, TuneRecord
from api.storage.uploads import contents_of
from planner.music.drums import DrumScore
from planner.notation.drum_file import read_drum_file
from planner.notation.drum_text import write_drum_text

GRID_FILE = "drum-score.json"

# How many drum scores are remembered? As many as a band has tunes with one.
_read = Memo[DrumScore](limit=200)


def check_drum_score(file: NewFile, limit_bytes: int) -> DrumScore:
    """The drum score of an uploaded file; nothing is stored.

    Raises:
        TooLargeError: the file is larger than the limit.
        NotationError: it is no MusicXML, or holds no drum notes.
    """
    if len(file.content) > limit_bytes:
        raise TooLargeError(file.name, limit_bytes)
    return read_drum_file(file.name, file.content)


def grid_file(score: DrumScore) -> NewFile | None:
    """A score that was entered on the grid as a file to keep; None when nothing is entered."""
    if not any(score.lines.values()):
        return None
    return NewFile(GRID_FILE, "application/json", write_drum_text(score).encode())


def keep_drum_score(
    session: Session, band: BandId, number: int, seen: int | None, file: NewFile | None
) -> Kept[LibraryTune]:
    """Keep a drum score that was checked with its tune, or (None) take it away.

    Raises:
        NotFoundError, StaleError: the tune is gone, or changed since it was seen.
    """
    kept = stored.change_file(session, band, number, seen, "drum_file", file)
    shelve(session, band)
    session.commit()
    return with_music(session, band, (kept,))[0]


def drum_scores_of(
    session: Session, band: BandId, records: Sequence[TuneRecord]
) -> dict[str, DrumScore]:
    """The drum scores of these tunes by their key, for those that have one."""
    files = {record.key: record.drum_file for record in records if record.drum_file is not None}
    needed = {file.id for file in files.values() if file.sha256 not in _read}
    contents = contents_of(session, band, needed) if needed else {}
    return {key: _score(file, contents.get(file.id, b"")) for key, file in files.items()}


def _score(file: StoredFile, content: bytes) -> DrumScore:
    return _read.get(file.sha256, lambda: read_drum_file(file.name, content))
