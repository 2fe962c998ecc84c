"""How did a set, or the running order of an event, stand before a change? What undo puts back.

A state is the columns of the rows as they stood, with the words of the change that ended it. The
newest states are kept, so that undo goes back step by step; what was undone is not kept.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import datetime, time, timedelta
from typing import Any

from sqlmodel import Session, col, delete, select

from api.storage.convert_event import planned_item
from api.storage.event_tables import EarlierRow, EventRow, ItemRow
from api.storage.row import Row, now
from api.storage.tables import EntryRow, SetRow, TuneRow
from planner.event.event import Item

MOST_KEPT = 50
"""How many changes of one set or running order can be undone?"""
ONE_CHANGE = timedelta(minutes=10)
"""Within which time do further changes in the same words count as one?"""
NOT_A_STATE = frozenset({"id", "band_id", "event_id", "version", "changed_at"})
OF_A_SET = NOT_A_STATE | {"set_id"}


def keep_set(session: Session, row: SetRow, what: str, *, is_typing: bool = False) -> None:
    """Keep how a set stands, before ``what`` changes it; typing on in one place is one change."""
    entries = [_columns(each, OF_A_SET) for each in row.entries]
    state = {"what": what, "own": _columns(row), "entries": entries}
    kept = EarlierRow(band_id=row.band_id, set_id=row.row_id, state=state)
    _keep(session, kept, row.version, is_typing)


def keep_order(session: Session, row: EventRow, what: str, *, is_typing: bool = False) -> None:
    """Keep how the running order of an event stands, before ``what`` changes it."""
    state = {"what": what, "items": [_columns(each) for each in row.items]}
    kept = EarlierRow(band_id=row.band_id, event_id=row.row_id, state=state)
    _keep(session, kept, row.version, is_typing)


def order_before_typing(session: Session, number: int, version: int) -> tuple[Item, ...] | None:
    """How a running order stood before somebody began to type; None unless they still do.

    ``version`` is the present one of the event: any other change since ends the typing.
    """
    found = session.exec(_newest_first(EventRow, number).limit(1)).first()
    if found is None or not found.state.get("is_typing") or not _goes_on(found, version):
        return None
    rows = (
        ItemRow(band_id=found.band_id, **_in_place(i, p))
        for p, i in enumerate(found.state["items"])
    )
    return tuple(planned_item(row) for row in rows)


def last_change(session: Session, kind: type[SetRow | EventRow], number: int) -> str | None:
    """What the last change that can be undone did, in words; None when there is none."""
    found = session.exec(_newest_first(kind, number).limit(1)).first()
    return None if found is None else str(found.state["what"])


def put_back_set(session: Session, row: SetRow) -> bool:
    """Make a set what it was before its last change; False when there is none to undo.

    A tune that has left the library meanwhile stays out.
    """
    found = session.exec(_newest_first(SetRow, row.row_id).limit(1)).first()
    if found is None:
        return False
    entries = found.state["entries"]
    there = _still_there(session, TuneRow, {entry["tune_id"] for entry in entries})
    _write(row, found.state["own"])
    kept = [entry for entry in entries if entry["tune_id"] in there]
    row.entries = [EntryRow(band_id=row.band_id, **_in_place(e, p)) for p, e in enumerate(kept)]
    session.delete(found)
    return True


def put_back_order(session: Session, row: EventRow) -> bool:
    """Make a running order what it was before its last change; False when there is none to undo.

    A set that has left the library meanwhile stays out.
    """
    found = session.exec(_newest_first(EventRow, row.row_id).limit(1)).first()
    if found is None:
        return False
    items = found.state["items"]
    there = _still_there(session, SetRow, {item["set_id"] for item in items} - {None})
    kept = [item for item in items if item["set_id"] in {None, *there}]
    row.items = [ItemRow(band_id=row.band_id, **_in_place(i, p)) for p, i in enumerate(kept)]
    session.delete(found)
    return True


def _keep(session: Session, earlier: EarlierRow, version: int, is_typing: bool) -> None:
    kind: type[SetRow | EventRow] = SetRow if earlier.set_id else EventRow
    asked = _newest_first(kind, earlier.set_id or earlier.event_id or 0)
    present = session.exec(asked).all()
    last = present[0] if present else None
    made = {"until": version + 1, "is_typing": is_typing}
    is_same = last is not None and last.state["what"] == earlier.state["what"]
    if last is not None and is_typing and is_same and _goes_on(last, version):
        last.state = {**last.state, **made}
        session.add(last)
        return
    _drop(session, present[MOST_KEPT - 1 :])
    earlier.state = {**earlier.state, **made}
    session.add(earlier)


def _goes_on(before: EarlierRow, version: int) -> bool:
    """True while nothing else has changed since, and not long after."""
    kept_at: datetime = before.kept_at
    age = now() - (kept_at if kept_at.tzinfo else kept_at.replace(tzinfo=now().tzinfo))
    return before.state.get("until") == version and age < ONE_CHANGE


def _drop(session: Session, rows: Sequence[EarlierRow]) -> None:
    if rows:
        numbers = [row.row_id for row in rows]
        session.execute(delete(EarlierRow).where(col(EarlierRow.id).in_(numbers)))


def _newest_first(kind: type[SetRow | EventRow], number: int) -> Any:
    of = EarlierRow.set_id if kind is SetRow else EarlierRow.event_id
    return select(EarlierRow).where(of == number).order_by(col(EarlierRow.id).desc())


def _still_there(
    session: Session, kind: type[TuneRow | SetRow], numbers: Collection[int]
) -> set[int]:
    found = session.exec(select(kind.id).where(col(kind.id).in_(sorted(numbers))))
    return {number for number in found if number is not None}


def _columns(row: Row, without: frozenset[str] = NOT_A_STATE) -> dict[str, Any]:
    columns = getattr(row, "__table__").columns  # noqa: B009 - SQLModel does not say its type
    names = [column.name for column in columns if column.name not in without]
    return {name: _as_text(getattr(row, name)) for name in names}


def _as_text(value: Any) -> Any:
    return value.isoformat() if isinstance(value, time) else value


def _write(row: Row, state: dict[str, Any]) -> None:
    for name, value in state.items():
        setattr(row, name, value)


def _in_place(state: dict[str, Any], position: int) -> dict[str, Any]:
    start = state.get("start")
    more = {"start": time.fromisoformat(start)} if start else {}
    return {**state, "position": position, **more}
