"""How is a row of this band found, and how is it taken for a change?

The one place where a number from outside meets a band: a row of another band is not there.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, TypeVar

from sqlalchemy import ColumnElement, func
from sqlalchemy.sql.base import ExecutableOption
from sqlmodel import Session, col, select

from api.storage.database import BandId
from api.storage.faults import NotFoundError, StaleError
from api.storage.row import VersionedRow

Kind = TypeVar("Kind", bound=VersionedRow)


def find_row(
    session: Session, kind: type[Kind], band: BandId, number: int, *options: ExecutableOption
) -> Kind | None:
    """A row of this band, None when the band has no such row."""
    found = session.exec(_one(kind, band, number).options(*options)).unique()
    row: Kind | None = found.one_or_none()
    return row


def row_to_change(
    session: Session,
    kind: type[Kind],
    band: BandId,
    number: int,
    seen: int | None,
    *options: ExecutableOption,
) -> Kind:
    """A row of this band, held for a change; ``seen`` None changes any version.

    Raises:
        NotFoundError: the band has no such row.
        StaleError: it has changed since the version that was seen.
    """
    asked = _one(kind, band, number).options(*options).with_for_update(of=kind)
    row: Kind | None = session.exec(asked).one_or_none()
    if row is None:
        raise NotFoundError(word_for(kind), number)
    if seen is not None and seen != row.version:
        raise StaleError(word_for(kind), seen, row.version)
    return row


def word_for(kind: type[Any]) -> str:
    """What a person calls such a row: ``tune``, ``set``, ``own value``."""
    return str(kind.__tablename__).replace("_", " ")


def missing_numbers(
    session: Session, kind: type[Kind], band: BandId, numbers: Iterable[int]
) -> set[int]:
    """Which of these numbers are not rows of this band; one question, none for no numbers."""
    wanted = set(numbers)
    if not wanted:
        return set()
    number: Any = col(kind.id)
    found = session.exec(
        select(kind.id).where(_of_band(kind, band), number.in_(sorted(wanted)))
    ).all()
    return wanted - {row_id for row_id in found if row_id is not None}


def count_rows(session: Session, kind: type[Kind], band: BandId) -> int:
    """How many rows of a kind this band has."""
    return session.exec(select(func.count()).select_from(kind).where(_of_band(kind, band))).one()


def _one(kind: type[Kind], band: BandId, number: int) -> Any:
    return select(kind).where(_of_band(kind, band), col(kind.id) == number)


def _of_band(kind: type[Any], band: BandId) -> ColumnElement[bool]:
    owned: ColumnElement[bool] = kind.band_id == band
    return owned
