"""How is a tune found among thousands? By its line on the shelf, worked out when it is stored."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from api.actions.readiness import RISING, Level
from api.actions.reading import is_remembered, library_tune
from api.storage import shelf as stored
from api.storage.convert import metre_from_text
from api.storage.database import BandId, Session
from api.storage.records import Looking, ShelfChoices, ShelfLine, ShelfPage, TuneRecord
from api.storage.uploads import contents_of
from planner.analysis.tonal import tonal_centre
from planner.errors import RequestError
from planner.rules.load import load_rulebook

__all__ = [
    "PAGE",
    "Looking",
    "ShelfChoices",
    "ShelfLine",
    "ShelfPage",
    "levels_from",
    "look_for",
    "metre_from_text",
    "shelf_choices",
    "shelve",
]

PAGE = 50
"""How many tunes stand on one page of the list?"""
A_FEW = 10
"""How many tunes stand on one page where a tune is chosen?"""
AT_ONCE = 200
"""How many tunes are read before their lines are written? Their files are held meanwhile."""


def look_for(
    session: Session, band: BandId, looking: Looking, page: int = 1, size: int = PAGE
) -> ShelfPage:
    """One page (from 1) of the tunes that are looked for, by title."""
    return stored.search_shelf(session, band, looking, (max(1, page) - 1) * size, size)


def shelf_choices(session: Session, band: BandId) -> ShelfChoices:
    """What occurs among the tunes, to choose from."""
    return stored.choices_of_shelf(session, band)


def levels_from(word: str) -> tuple[str, ...]:
    """A level and those above it; a score is enough for a drummer, whatever a piper needs.

    Raises:
        RequestError: the word is no level.
    """
    if not word:
        return ()
    if word not in RISING[1:]:
        raise RequestError("ready", f"“{word}” is no level", f"choose {', '.join(RISING[1:])}")
    return (*RISING[RISING.index(Level(word)) :], Level.HAS_SCORE)


def shelve(session: Session, band: BandId) -> None:
    """Bring the lines of all new and changed tunes up to date; it does not commit.

    Whoever stores tunes calls this before the commit, and the service once when it opens a
    library that an older version has written.
    """
    waiting = stored.tunes_to_shelve(session, band)
    for first in range(0, len(waiting), AT_ONCE):
        some = waiting[first : first + AT_ONCE]
        files = [each.noun.file for each in some if each.noun.file]
        needed = {file.id for file in files if not is_remembered(file.name, file.sha256)}
        contents = contents_of(session, band, needed) if needed else {}
        lines = [(_line(each.noun, contents), each.version) for each in some]
        stored.put_on_shelf(session, band, lines)


def _line(record: TuneRecord, contents: Mapping[int, bytes]) -> ShelfLine:
    # Nothing was fetched for a file that is remembered, and nothing is needed.
    content = contents.get(record.file.id, b"") if record.file else b""
    tune = library_tune(record, content).tune
    said = ShelfLine(
        key=record.key,
        title=record.title,
        tonal_centre=record.tonal_centre,
        tags=record.tags,
        composer=record.credits.composer,
    )
    if tune is None:
        return said
    return replace(
        said,
        idiom=tune.idiom or "",
        metre=tune.metre,
        tonal_centre=record.tonal_centre or tonal_centre(tune, load_rulebook()),
        part_count=len(tune.parts),
        tempo_bpm=tune.tempo.bpm if tune.tempo else None,
        has_notes=tune.has_notes,
    )
