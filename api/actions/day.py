"""The day changes: the slot moves, a set is dropped, a player is missing. What changed, in words?

Every change of an event or its line-up re-times everything, makes a new version and keeps the
sentences that say what changed; change and sentences are stored together, or neither is.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import replace
from datetime import datetime, time, timedelta

from api.actions.changes import SOME_CHANGE, Change
from api.actions.events import check_event, check_line_up, one_event
from api.actions.timed import TimedEvent, timed_event, timetable_of
from api.storage import changes as stored_changes
from api.storage import events as stored
from api.storage.convert_event import Pairs
from api.storage.database import BandId, Session
from api.storage.records import Answer, EventRecord, Kept, ToldChange
from planner.errors import RequestError
from planner.event.changes import Day, changes_of_day
from planner.event.event import Event, Item

MOST_TOLD = 20
LONGEST_MOVE = 12 * 60


def told_changes(
    session: Session, band: BandId, number: int, most: int = MOST_TOLD
) -> tuple[ToldChange, ...]:
    """The latest changes of an event, the newest first."""
    return stored_changes.changes_of_event(session, band, number, most)


def change_event(
    session: Session,
    band: BandId,
    number: int,
    seen: int | None,
    planned: Event,
    change: Change = SOME_CHANGE,
) -> Kept[EventRecord]:
    """Change an event and keep what changed; its line-up stays.

    Raises:
        NotFoundError, StaleError: it is gone, or changed since it was seen.
        RequestError: something in it makes no sense; nothing is stored.
    """
    check_event(session, band, planned, one_event(session, band, number).noun.event)
    return _told(
        session,
        band,
        number,
        lambda: stored.change_event(
            session, band, number, seen, planned, change.words, is_typing=change.is_typing
        ),
        is_typing=change.is_typing,
    )


def change_line_up(
    session: Session,
    band: BandId,
    number: int,
    seen: int | None,
    answers: Collection[Answer],
    outs: Pairs = (),
    harmony: Pairs = (),
) -> Kept[EventRecord]:
    """Settle who plays and keep what changed.

    Raises:
        NotFoundError, StaleError: the event is gone, or changed since it was seen.
        RequestError: a person or tune that is not there; nothing is stored.
    """
    outs, harmony = frozenset(outs), frozenset(harmony)
    check_line_up(session, band, answers, outs, harmony)
    return _told(
        session,
        band,
        number,
        lambda: stored.change_line_up(session, band, number, seen, answers, outs, harmony),
    )


def move_slot(
    session: Session, band: BandId, number: int, seen: int | None, minutes: int
) -> Kept[EventRecord]:
    """Move tune-up, step-off, end and every fixed start by so many minutes; meet stays.

    Raises:
        NotFoundError, StaleError: the event is gone, or changed since it was seen.
        RequestError: no minutes, too many, or no step-off to move.
    """
    if not minutes or abs(minutes) > LONGEST_MOVE:
        raise RequestError("minutes", f"{minutes} is no move", "give minutes, such as 20 or -15")
    event = one_event(session, band, number).noun.event
    clock = event.clock
    if clock.step_off is None:
        raise RequestError("minutes", "there is no step-off to move", "set its time first")
    moved = replace(
        event,
        clock=replace(
            clock,
            tune_up=_moved(clock.tune_up, minutes),
            step_off=_moved(clock.step_off, minutes),
            end=_moved(clock.end, minutes),
        ),
        items=tuple(replace(item, start=_moved(item.start, minutes)) for item in event.items),
    )
    return change_event(session, band, number, seen, moved)


def drop_item(
    session: Session, band: BandId, number: int, seen: int | None, place: int
) -> Kept[EventRecord]:
    """Take an item out of the running order, counted from 1.

    Raises:
        NotFoundError, StaleError: the event is gone, or changed since it was seen.
        RequestError: the running order has no such item.
    """
    event = one_event(session, band, number).noun.event
    if not 1 <= place <= len(event.items):
        raise RequestError("item", f"there is no item {place}", f"choose 1 to {len(event.items)}")
    kept = (*event.items[: place - 1], *event.items[place:])
    return change_event(session, band, number, seen, replace(event, items=kept))


def miss_player(
    session: Session, band: BandId, number: int, seen: int | None, person_key: str
) -> Kept[EventRecord]:
    """Somebody who said yes does not come.

    Raises:
        NotFoundError, StaleError: the event is gone, or changed since it was seen.
        RequestError: the person is not in the line-up.
    """
    record = one_event(session, band, number).noun
    line_up = record.line_up
    if person_key not in {person.key for person in line_up.people}:
        raise RequestError("person", "they are not in the line-up", "choose somebody who is")
    answers = [
        Answer(each.person_key, "no") if each.person_key == person_key else each
        for each in record.answers
    ]
    outs = {pair for pair in line_up.outs if pair[0] != person_key}
    harmony = {pair for pair in line_up.harmony if pair[0] != person_key}
    return change_line_up(session, band, number, seen, answers, outs, harmony)


def put_order(
    session: Session,
    band: BandId,
    number: int,
    seen: int | None,
    items: tuple[Item, ...],
    change: Change = SOME_CHANGE,
) -> Kept[EventRecord]:
    """Put another running order in place of the present one.

    Raises:
        NotFoundError, StaleError: the event is gone, or changed since it was seen.
        RequestError: an item names a set that is not there.
    """
    event = one_event(session, band, number).noun.event
    return change_event(session, band, number, seen, replace(event, items=items), change)


def undo_order(session: Session, band: BandId, number: int, seen: int | None) -> bool:
    """Put a running order back to how it stood before its last change; False when none was.

    Raises:
        NotFoundError, StaleError: the event is gone, or changed since it was seen.
    """
    before = _day(timed_event(session, band, number))
    changed = stored.undo_order(session, band, number, seen)
    if changed is not None:
        said = changes_of_day(before, _day(timed_event(session, band, number)))
        stored_changes.add_change(session, band, number, changed.version, said)
    session.commit()
    return changed is not None


def _told(
    session: Session,
    band: BandId,
    number: int,
    change: Callable[[], Kept[EventRecord]],
    *,
    is_typing: bool = False,
) -> Kept[EventRecord]:
    before = timed_event(session, band, number)
    day, version = _day(before), before.kept.version
    typed_from = stored.order_before_typing(session, number, version) if is_typing else None
    changed = change()
    if typed_from is not None:
        day = _day_with(before, typed_from)
        stored_changes.drop_change(session, band, number, version)
    said = changes_of_day(day, _day(timed_event(session, band, number)))
    stored_changes.add_change(session, band, number, changed.version, said)
    session.commit()
    return changed


def _day(timed: TimedEvent) -> Day:
    """The event as it stands; without times where a tune has no music to reckon with."""
    record = timed.kept.noun
    return Day(record.event, timed.timetable, record.line_up, timed.titles)


def _day_with(timed: TimedEvent, items: tuple[Item, ...]) -> Day:
    """The event as it stood before somebody began to type in its running order."""
    day = _day(timed)
    event = replace(day.event, items=items)
    try:
        return replace(day, event=event, timetable=timetable_of(timed, event))
    except RequestError:
        return replace(day, event=event, timetable=None)


def _moved(at: time | None, minutes: int) -> time | None:
    if at is None:
        return None
    return (datetime.combine(datetime.min.date(), at) + timedelta(days=2, minutes=minutes)).time()
