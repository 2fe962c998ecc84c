"""What do people settle about single notes of an event? Marks by hand, and agreements.

Each settlement makes a new version of its event, so it needs the version that was seen: nobody
agrees to a mark they have not looked at, and old sheets can be told from new ones.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from api.storage import choices as stored
from api.storage import lifts as stored_lifts
from api.storage.database import BandId, Session
from api.storage.events import find_event, touch_event
from api.storage.faults import NotFoundError
from api.storage.records import HandMark, Kept, Lift, Settled
from api.storage.rows import missing_numbers
from api.storage.tables import TuneRow
from planner.errors import RequestError
from planner.event.event import Event, Occasion, Sort
from planner.marks.marks import Move

LOCKED, FORBIDDEN = "locked", "forbidden"


@dataclass(frozen=True, slots=True)
class Choices:
    """What was settled for an event: marks by hand, agreements (earliest first), lifts."""

    hand_marks: tuple[Kept[HandMark], ...]
    agreements: tuple[Settled, ...]
    lifts: tuple[Lift, ...] = ()


def choices_of_event(session: Session, band: BandId, number: int) -> Choices:
    """Everything settled for an event, with what holds at every such occasion.

    Raises:
        NotFoundError: the band has no such event.
    """
    kept = find_event(session, band, number)
    if kept is None:
        raise NotFoundError("event", number)
    return choices_for(session, band, kept.noun.event)


def choices_for(session: Session, band: BandId, event: Event) -> Choices:
    """Everything settled for an event that is at hand already."""
    setting, number = event.setting, int(event.key)
    return Choices(
        stored.hand_marks_for(session, band, setting, number),
        stored.agreements_for(session, band, setting, number),
        stored_lifts.lifts_of_events(session, band, [number]),
    )


def choices_for_all(session: Session, band: BandId, events: Sequence[Event]) -> dict[str, Choices]:
    """Everything settled for several events, by event key."""
    numbers = [int(event.key) for event in events]
    hand_marks = stored.hand_marks_of_events(session, band, numbers)
    agreements = stored.agreements_of_events(session, band, numbers)
    lifts = stored_lifts.lifts_of_events(session, band, numbers)
    return {
        event.key: Choices(
            tuple(kept for kept in hand_marks if _holds(kept.noun, event)),
            tuple(outcome for outcome in agreements if _is_told(outcome, event)),
            tuple(lift for lift in lifts if lift.event_key == event.key),
        )
        for event in events
    }


def _holds(said: HandMark | Settled, event: Event) -> bool:
    """True when something was said for this event, or for every such occasion."""
    is_such = (said.occasion, said.sort) == (event.setting.occasion, event.setting.sort)
    return is_such and said.event_key in ("", event.key)


def _is_told(said: Settled, event: Event) -> bool:
    """True when a word was given for this event, whatever its occasion was then, or holds here."""
    return said.event_key == event.key or _holds(said, event)


def mark_by_hand(
    session: Session, band: BandId, number: int, seen: int | None, mark: HandMark
) -> tuple[Kept[HandMark], Kept[Event]]:
    """Lock or forbid a mark at an event; the occasion and event of ``mark`` are the event's.

    Raises:
        NotFoundError, StaleError: the event is gone, or changed since it was seen.
        RequestError: the tune is not there, or a locked mark has no move.
    """
    _check_mark(mark)
    _check_tune(session, band, mark.tune_key)
    event = touch_event(session, band, number, seen)
    setting = event.noun.setting
    placed = replace(mark, occasion=setting.occasion, sort=setting.sort, event_key=event.noun.key)
    kept = stored.add_hand_mark(session, band, placed)
    session.commit()
    return kept, event


def leave_to_planner(
    session: Session, band: BandId, number: int, seen: int | None, mark: int
) -> Kept[Event]:
    """Take a mark by hand of an event away; the planner decides on its note again.

    Raises:
        NotFoundError, StaleError: the event or the mark is gone, or the event changed.
    """
    event = touch_event(session, band, number, seen)
    present = stored.hand_marks_for(session, band, event.noun.setting, number)
    word = next((kept.noun for kept in present if kept.id == mark), None)
    if word is None:
        raise NotFoundError("mark by hand", mark)
    left = replace(word, will=stored.LEFT, move=None, ms=None, event_key=event.noun.key)
    stored.add_hand_mark(session, band, left)
    session.commit()
    return event


def can_undo(session: Session, band: BandId, event: Event, tune: int) -> bool:
    """True when something was said of a note of a tune at an event, as the event is now."""
    found = stored.last_hand_mark(session, band, event.setting, int(event.key), tune)
    return found is not None


def kept_from_before(
    session: Session, band: BandId, event: Event, tune: int
) -> tuple[tuple[Occasion, Sort, int], ...]:
    """How many marks by hand a tune has from when the event was another occasion, and which."""
    kept = stored.hand_marks_elsewhere(session, band, event.setting, int(event.key))
    counts = Counter(
        (each.noun.occasion, each.noun.sort) for each in kept if each.noun.tune_key == str(tune)
    )
    return tuple((occasion, sort, count) for (occasion, sort), count in counts.items())


def undo_by_hand(
    session: Session, band: BandId, number: int, seen: int | None, tune: int
) -> Kept[Event]:
    """Take back the last word on a note of a tune: what stood there before holds again.

    Raises:
        NotFoundError, StaleError: the event is gone, nothing was set by hand, or it changed.
    """
    event = touch_event(session, band, number, seen)
    last = stored.last_hand_mark(session, band, event.noun.setting, number, tune)
    if last is None:
        raise NotFoundError("mark by hand on tune", tune)
    stored.drop_hand_mark(session, band, last)
    session.commit()
    return event


def lift_ceiling(
    session: Session, band: BandId, number: int, seen: int | None, lift: Lift
) -> tuple[Lift, Kept[Event]]:
    """Open layers of one tune at an event above its ceiling, on a named person's word.

    Raises:
        NotFoundError, StaleError: the event is gone, or changed since it was seen.
        RequestError: the tune is not there, nobody is named, or no layer is.
    """
    if not lift.lifted_by.strip():
        raise RequestError("lifted_by", "nobody is named", "write who takes it on themselves")
    if not lift.levels:
        raise RequestError("levels", "no layer is named", "choose the level of one")
    _check_tune(session, band, lift.tune_key)
    event = touch_event(session, band, number, seen)
    kept = stored_lifts.keep_lift(session, band, replace(lift, event_key=event.noun.key))
    session.commit()
    return kept, event


def take_lift_back(
    session: Session, band: BandId, number: int, seen: int | None, tune_key: str
) -> Kept[Event]:
    """Let the occasion's own ceiling hold again.

    Raises:
        NotFoundError, StaleError: the event or the lift is gone, or the event changed.
    """
    event = touch_event(session, band, number, seen)
    stored_lifts.drop_lift(session, band, event.noun.key, tune_key)
    session.commit()
    return event


def settle(
    session: Session, band: BandId, number: int, seen: int | None, outcome: Settled
) -> tuple[Settled, Kept[Event]]:
    """Note that pipes and drums agreed or refused; the latest word on a note holds.

    Raises:
        NotFoundError, StaleError: the event is gone, or changed since it was seen.
        RequestError: the tune is not there, or nobody is named.
    """
    if not outcome.who.strip():
        raise RequestError("who", "nobody is named", "write who agreed")
    _check_tune(session, band, outcome.tune_key)
    event = touch_event(session, band, number, seen)
    setting = event.noun.setting
    placed = replace(
        outcome,
        occasion=setting.occasion,
        sort=setting.sort,
        event_key=event.noun.key,
        music=stored.music_of(session, band, int(outcome.tune_key)),
    )
    kept = stored.add_agreement(session, band, placed)
    session.commit()
    return kept, event


def _check_mark(mark: HandMark) -> None:
    if mark.will == LOCKED and mark.move is None:
        moves = ", ".join(Move)
        raise RequestError("move", "a locked mark needs a move", f"choose {moves}")


def _check_tune(session: Session, band: BandId, key: str) -> None:
    if missing_numbers(session, TuneRow, band, [int(key)]):
        raise RequestError("tune_key", f"tune {key} is not in the library", "choose one that is")
