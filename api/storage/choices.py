"""What did people settle about single notes? Marks by hand, and agreements of pipes and drums."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TypeVar

from sqlalchemy import ColumnElement, and_, or_
from sqlmodel import Session, col, select

from api.storage.convert import kept
from api.storage.convert_event import hand_mark, settled
from api.storage.database import BandId
from api.storage.event_tables import AgreementRow, HandMarkRow
from api.storage.records import HandMark, Kept, Settled
from api.storage.rows import row_to_change
from api.storage.tables import TuneRow, UploadRow
from planner.event.event import Setting

LEFT = "left to the planner"
"""What a note says by hand when nobody wants anything of it any more."""

ChoiceRow = TypeVar("ChoiceRow", HandMarkRow, AgreementRow)


def hand_marks_for(
    session: Session, band: BandId, setting: Setting, event: int | None = None
) -> tuple[Kept[HandMark], ...]:
    """The marks by hand that hold at an event, or (no event) at every such occasion."""
    asked = select(HandMarkRow).where(*_holding(HandMarkRow, band, setting, event))
    return _standing(session.exec(asked.order_by(col(HandMarkRow.id))))


def hand_marks_of_events(
    session: Session, band: BandId, events: Sequence[int]
) -> tuple[Kept[HandMark], ...]:
    """The marks by hand of several events, and those that hold at every such occasion."""
    asked = select(HandMarkRow).where(*_of_any(HandMarkRow, band, events))
    return _standing(session.exec(asked.order_by(col(HandMarkRow.id))))


def agreements_of_events(
    session: Session, band: BandId, events: Sequence[int]
) -> tuple[Settled, ...]:
    """What was settled for several events or every such occasion, the earliest first."""
    asked = select(AgreementRow).where(*_of_any(AgreementRow, band, events))
    rows = session.exec(asked.order_by(col(AgreementRow.agreed_at), col(AgreementRow.id)))
    return tuple(settled(row) for row in rows)


def _standing(rows: Iterable[HandMarkRow]) -> tuple[Kept[HandMark], ...]:
    """The last word on each note, and no note that was left to the planner again."""
    last = {_note(row): row for row in rows}
    standing = sorted(last.values(), key=lambda row: row.id or 0)
    return tuple(kept(row, hand_mark(row)) for row in standing if row.will != LEFT)


def _note(row: HandMarkRow) -> tuple[object, ...]:
    place = (row.part, row.bar, row.ending, row.note_index)
    return (row.event_id, row.occasion, row.sort, row.tune_id, *place)


def add_hand_mark(session: Session, band: BandId, mark: HandMark) -> Kept[HandMark]:
    """Store a person's word on a note; earlier words stay below it, to come back by an undo."""
    row = HandMarkRow(
        band_id=band,
        event_id=int(mark.event_key) if mark.event_key else None,
        occasion=mark.occasion.value,
        sort=mark.sort.value,
        tune_id=int(mark.tune_key),
        part=mark.place.part,
        bar=mark.place.bar,
        ending=mark.place.ending,
        note_index=mark.place.index,
        will=mark.will,
        move=mark.move,
        ms=mark.ms,
        set_by=mark.set_by,
    )
    session.add(row)
    session.flush()
    return kept(row, hand_mark(row))


def music_of(session: Session, band: BandId, tune: int) -> str:
    """The hash of a tune's file; empty where it has none."""
    asked = (
        select(UploadRow.sha256)
        .join(TuneRow, col(TuneRow.file_id) == col(UploadRow.id))
        .where(TuneRow.band_id == band, TuneRow.id == tune)
    )
    return session.exec(asked).first() or ""


def last_hand_mark(
    session: Session, band: BandId, setting: Setting, event: int, tune: int
) -> int | None:
    """The number of the latest word on any note of a tune at an event, as the event is now.

    None where there is none: words from when it was another occasion are left alone.
    """
    asked = select(HandMarkRow.id).where(
        HandMarkRow.band_id == band,
        HandMarkRow.event_id == event,
        HandMarkRow.tune_id == tune,
        HandMarkRow.occasion == setting.occasion.value,
        HandMarkRow.sort == setting.sort.value,
    )
    return session.exec(asked.order_by(col(HandMarkRow.id).desc())).first()


def hand_marks_elsewhere(
    session: Session, band: BandId, setting: Setting, event: int
) -> tuple[Kept[HandMark], ...]:
    """What was set by hand at an event when it was another occasion: kept, and holding no more."""
    asked = select(HandMarkRow).where(
        HandMarkRow.band_id == band,
        HandMarkRow.event_id == event,
        or_(
            col(HandMarkRow.occasion) != setting.occasion.value,
            col(HandMarkRow.sort) != setting.sort.value,
        ),
    )
    return _standing(session.exec(asked.order_by(col(HandMarkRow.id))))


def drop_hand_mark(session: Session, band: BandId, number: int) -> None:
    """Take back a person's word on a note, so that the one before it holds again.

    Raises:
        NotFoundError: the band has no such word.
    """
    session.delete(row_to_change(session, HandMarkRow, band, number, None))
    session.flush()


def agreements_for(
    session: Session, band: BandId, setting: Setting, event: int | None = None
) -> tuple[Settled, ...]:
    """What was settled for an event or every such occasion, the earliest first.

    An event keeps its words when its occasion changes: they hold no more, and that must be told.
    """
    holding = _holding(AgreementRow, band, setting, event)
    of_event = and_(col(AgreementRow.band_id) == band, col(AgreementRow.event_id) == event)
    asked = select(AgreementRow).where(or_(and_(*holding), of_event) if event else and_(*holding))
    rows = session.exec(asked.order_by(col(AgreementRow.agreed_at), col(AgreementRow.id)))
    return tuple(settled(row) for row in rows)


def add_agreement(session: Session, band: BandId, outcome: Settled) -> Settled:
    """Store what was settled; earlier outcomes stay as a record, the latest holds."""
    address = outcome.address
    row = AgreementRow(
        band_id=band,
        event_id=int(outcome.event_key) if outcome.event_key else None,
        occasion=outcome.occasion.value,
        sort=outcome.sort.value,
        tune_id=int(outcome.tune_key),
        part=address.part,
        bar=address.bar,
        ending=address.ending,
        beat=str(address.beat),
        move=outcome.move,
        ms=outcome.ms,
        tempo_bpm=outcome.tempo_bpm,
        is_agreed=outcome.is_agreed,
        who=outcome.who,
        remark=outcome.remark,
        music=outcome.music,
    )
    session.add(row)
    session.flush()
    return settled(row)


def _holding(
    kind: type[ChoiceRow], band: BandId, setting: Setting, event: int | None
) -> tuple[ColumnElement[bool], ...]:
    for_every_such_occasion: ColumnElement[bool] = col(kind.event_id).is_(None)
    where = for_every_such_occasion
    if event is not None:
        where = or_(for_every_such_occasion, col(kind.event_id) == event)
    return (
        col(kind.band_id) == band,
        col(kind.occasion) == setting.occasion.value,
        col(kind.sort) == setting.sort.value,
        where,
    )


def _of_any(
    kind: type[ChoiceRow], band: BandId, events: Sequence[int]
) -> tuple[ColumnElement[bool], ...]:
    for_every_such_occasion: ColumnElement[bool] = col(kind.event_id).is_(None)
    return col(kind.band_id) == band, or_(for_every_such_occasion, col(kind.event_id).in_(events))
