"""What did people settle about single notes? Marks by hand, and agreements of pipes and drums."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from sqlalchemy import ColumnElement, or_
from sqlmodel import Session, col, select

from api.storage.convert import kept
from api.storage.convert_event import hand_mark, settled
from api.storage.database import BandId
from api.storage.event_tables import AgreementRow, HandMarkRow
from api.storage.records import HandMark, Kept, Settled
from api.storage.rows import row_to_change
from planner.event.event import Setting

ChoiceRow = TypeVar("ChoiceRow", HandMarkRow, AgreementRow)


def hand_marks_for(
    session: Session, band: BandId, setting: Setting, event: int | None = None
) -> tuple[Kept[HandMark], ...]:
    """The marks by hand that hold at an event, or (no event) at every such occasion."""
    asked = select(HandMarkRow).where(*_holding(HandMarkRow, band, setting, event))
    rows = session.exec(asked.order_by(col(HandMarkRow.id)))
    return tuple(kept(row, hand_mark(row)) for row in rows)


def hand_marks_of_events(
    session: Session, band: BandId, events: Sequence[int]
) -> tuple[Kept[HandMark], ...]:
    """The marks by hand of several events, and those that hold at every such occasion."""
    asked = select(HandMarkRow).where(*_of_any(HandMarkRow, band, events))
    rows = session.exec(asked.order_by(col(HandMarkRow.id)))
    return tuple(kept(row, hand_mark(row)) for row in rows)


def agreements_of_events(
    session: Session, band: BandId, events: Sequence[int]
) -> tuple[Settled, ...]:
    """What was settled for several events or every such occasion, the earliest first."""
    asked = select(AgreementRow).where(*_of_any(AgreementRow, band, events))
    rows = session.exec(asked.order_by(col(AgreementRow.agreed_at), col(AgreementRow.id)))
    return tuple(settled(row) for row in rows)


def add_hand_mark(session: Session, band: BandId, mark: HandMark) -> Kept[HandMark]:
    """Store a mark that a person locked or forbade; it takes the place of one on the same note."""
    row = _same_note(session, band, mark)
    if row is None:
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
        )
        session.add(row)
    else:
        row.bump()
    row.will, row.move, row.ms, row.set_by = mark.will, mark.move, mark.ms, mark.set_by
    session.flush()
    return kept(row, hand_mark(row))


def remove_hand_mark(session: Session, band: BandId, number: int, seen: int | None) -> None:
    """Leave a note to the planner again.

    Raises:
        NotFoundError: the band has no such mark by hand.
        StaleError: it has changed since ``seen``.
    """
    session.delete(row_to_change(session, HandMarkRow, band, number, seen))
    session.flush()


def agreements_for(
    session: Session, band: BandId, setting: Setting, event: int | None = None
) -> tuple[Settled, ...]:
    """What was settled for an event or every such occasion, the earliest first."""
    asked = select(AgreementRow).where(*_holding(AgreementRow, band, setting, event))
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


def _same_note(session: Session, band: BandId, mark: HandMark) -> HandMarkRow | None:
    place = mark.place
    asked = select(HandMarkRow).where(
        HandMarkRow.band_id == band,
        HandMarkRow.event_id == (int(mark.event_key) if mark.event_key else None),
        HandMarkRow.occasion == mark.occasion.value,
        HandMarkRow.sort == mark.sort.value,
        HandMarkRow.tune_id == int(mark.tune_key),
        HandMarkRow.part == place.part,
        HandMarkRow.bar == place.bar,
        HandMarkRow.ending == place.ending,
        HandMarkRow.note_index == place.index,
    )
    return session.exec(asked.with_for_update()).first()
