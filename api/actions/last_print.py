"""What has changed since a sheet was last handed out? What it said is kept for the next one."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from api.display.paper.changes import Change, changes_between, contents_of
from api.display.paper.drum_sheet import DrumSheetView
from api.storage.database import BandId, Database, Session
from api.storage.prints import add_print, last_print, prints_of_event
from api.storage.records import Printed


def changes_since_last_print(
    database: Database, band: BandId, number: int, version: int, sheet: DrumSheetView
) -> tuple[str, ...]:
    """What the sheet says otherwise than the last one that differed; nothing for the first.

    The sheet is kept, unless it says the same as the one kept last: asking twice for the same
    sheet gives the same answer.
    """
    contents = contents_of(sheet)
    digest = hashlib.sha256(json.dumps(contents).encode()).hexdigest()
    with database.reading() as session:
        earlier = [each for each in prints_of_event(session, band, number) if _is_drums(each)]
    if not earlier or earlier[0].content_hash != digest:
        with database.writing() as session:
            new = Printed(str(number), DRUM_SHEET, version, digest, contents=contents)
            add_print(session, band, new)
            session.commit()
    other = next((each for each in earlier if each.content_hash != digest), None)
    found = changes_between(contents_in(other), contents) if other else ()
    return tuple(change.words for change in found)


@dataclass(frozen=True, slots=True)
class SincePrint:
    """What a drum sheet printed now would say otherwise than the last one; None: none was."""

    printed: Printed | None
    changes: tuple[Change, ...]


def since_last_print(
    session: Session, band: BandId, number: int, sheet: DrumSheetView
) -> SincePrint:
    """How ``sheet`` differs from the drum sheet that was printed last; nothing is kept."""
    last = last_print(session, band, number, DRUM_SHEET)
    if last is None:
        return SincePrint(None, ())
    return SincePrint(last, changes_between(contents_in(last), contents_of(sheet)))


DRUM_SHEET = "drum-sheet"


def _is_drums(printed: Printed) -> bool:
    return printed.sheet == DRUM_SHEET


def contents_in(printed: Printed) -> Mapping[str, Mapping[str, str]]:
    """What a printed drum sheet said."""
    kept: Any = printed.contents
    return kept if isinstance(kept, dict) else {}
