"""Which tunes does somebody look for? A list that is asked without reading any music.

``tunes_to_shelve`` names the tunes whose line is missing or out of date; ``put_on_shelf`` writes
their lines. Searching asks the lines only, a page at a time.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from typing import Any

from sqlalchemy import ColumnElement, and_, func
from sqlmodel import Session, col, select

from api.storage.convert import kept, metre_from_text, metre_to_text, tune_record
from api.storage.database import BandId
from api.storage.records import Kept, Looking, ShelfChoices, ShelfLine, ShelfPage, TuneRecord
from api.storage.tables import PersonRow, ReadinessRow, ShelfRow, TuneRow
from api.storage.tunes import WITH_FILES
from planner.event.event import Occasion

# Why blanks around a tag? So that one tag is never found inside another.
TAG = " {} "


def tunes_to_shelve(session: Session, band: BandId) -> tuple[Kept[TuneRecord], ...]:
    """The tunes whose line is missing or was made from an older version."""
    is_theirs = and_(
        col(ShelfRow.tune_id) == col(TuneRow.id),
        col(ShelfRow.tune_version) == col(TuneRow.version),
    )
    asked = (
        select(TuneRow)
        .outerjoin(ShelfRow, is_theirs)
        .where(TuneRow.band_id == band, col(ShelfRow.id).is_(None))
        .options(*WITH_FILES)
    )
    return tuple(kept(row, tune_record(row)) for row in session.exec(asked))


def put_on_shelf(session: Session, band: BandId, lines: Sequence[tuple[ShelfLine, int]]) -> None:
    """Write the lines of these tunes, each with the version of its tune."""
    numbers = [int(line.key) for line, _ in lines]
    found = session.exec(select(ShelfRow).where(col(ShelfRow.tune_id).in_(numbers)))
    present = {row.tune_id: row for row in found}
    for line, version in lines:
        session.add(_written(present.get(int(line.key)), band, line, version))
    session.flush()


def search_shelf(
    session: Session, band: BandId, looking: Looking, first: int, most: int
) -> ShelfPage:
    """The lines that are looked for by title, at most so many from the ``first`` on (from 0)."""
    total = session.exec(select(func.count()).select_from(ShelfRow).where(_of(band))).one()
    found = session.exec(
        select(ShelfRow.id)
        .where(*_wanted(band, looking))
        .order_by(col(ShelfRow.title), col(ShelfRow.tune_id))
    ).all()
    here = found[first : first + most]
    rows = {row.id: row for row in session.exec(select(ShelfRow).where(col(ShelfRow.id).in_(here)))}
    return ShelfPage(tuple(_line(rows[number]) for number in here), len(found), total)


def tunes_of_idioms(
    session: Session, band: BandId, idioms: Sequence[str], most: int
) -> tuple[int, ...]:
    """The numbers of the tunes of these idioms by title, at most so many."""
    asked = select(ShelfRow.tune_id).where(_of(band), col(ShelfRow.idiom).in_(idioms))
    return tuple(session.exec(asked.order_by(col(ShelfRow.title)).limit(most)))


def choices_of_shelf(session: Session, band: BandId) -> ShelfChoices:
    """The idioms, metres and tonal centres that occur, each once."""
    asked = select(ShelfRow.idiom, ShelfRow.metre, ShelfRow.tonal_centre).where(_of(band))
    rows = session.exec(asked.distinct()).all()
    idioms, metres, centres = ({row[place] for row in rows} - {""} for place in range(3))
    return ShelfChoices(tuple(sorted(idioms)), tuple(sorted(metres)), tuple(sorted(centres)))


def plain_words(text: str) -> str:
    """Text without capitals and accents, as it is compared."""
    parted = unicodedata.normalize("NFKD", text.casefold())
    return "".join(sign for sign in parted if not unicodedata.combining(sign))


def _wanted(band: BandId, looking: Looking) -> list[ColumnElement[bool]]:
    words = plain_words(looking.words).split()
    heard = col(ShelfRow.words)
    conditions = [_of(band), *(heard.contains(word, autoescape=True) for word in words)]
    exact = (
        (ShelfRow.idiom, looking.idiom),
        (ShelfRow.metre, looking.metre),
        (ShelfRow.tonal_centre, looking.tonal_centre),
    )
    conditions += [col(column) == value for column, value in exact if value]
    if looking.tag:
        conditions.append(col(ShelfRow.tags).contains(TAG.format(looking.tag), autoescape=True))
    if looking.levels:
        conditions.append(_is_known(band, looking))
    return conditions


def _is_known(band: BandId, looking: Looking) -> ColumnElement[bool]:
    """Every player who is asked about has the tune at one of the levels, and there is one."""
    asked: list[Any] = [PersonRow.band_id == band]
    if looking.rung:
        asked.append(PersonRow.rung == looking.rung)
    players = select(func.count()).select_from(PersonRow).where(*asked).scalar_subquery()
    has_it = and_(
        col(ReadinessRow.person_id) == col(PersonRow.id),
        col(ReadinessRow.level).in_(looking.levels),
    )
    known = (
        select(ReadinessRow.tune_id)
        .join(PersonRow, has_it)
        .where(*asked)
        .group_by(col(ReadinessRow.tune_id))
        .having(func.count() == players)
    )
    return col(ShelfRow.tune_id).in_(known)


def _of(band: BandId) -> Any:
    return ShelfRow.band_id == band


def _written(row: ShelfRow | None, band: BandId, line: ShelfLine, version: int) -> ShelfRow:
    row = row or ShelfRow(
        band_id=band, tune_id=int(line.key), tune_version=version, title="", words=""
    )
    row.tune_version, row.title = version, line.title
    row.words = plain_words(f"{line.title} {line.composer}")
    row.idiom, row.tonal_centre = line.idiom, line.tonal_centre
    row.metre = metre_to_text(line.metre) if line.metre else ""
    row.tags = "".join(TAG.format(tag.value) for tag in line.tags)
    row.part_count, row.tempo_bpm, row.has_notes = line.part_count, line.tempo_bpm, line.has_notes
    return row


def _line(row: ShelfRow) -> ShelfLine:
    return ShelfLine(
        key=str(row.tune_id),
        title=row.title,
        idiom=row.idiom,
        metre=metre_from_text(row.metre) if row.metre else None,
        tonal_centre=row.tonal_centre,
        tags=tuple(Occasion(tag) for tag in row.tags.split()),
        part_count=row.part_count,
        tempo_bpm=row.tempo_bpm,
        has_notes=row.has_notes,
    )
