"""What does a person do with events? Plan the day, settle the line-up, look, change, remove.

Each function takes a session and the band, does one whole thing and commits it; ``seen`` is the
version of the event the person saw (None: any). What is written comes as the engine's own nouns;
the key and version of an ``Event`` are not looked at. The line-up belongs to its event: changing
it makes a new version of the event.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from datetime import date, datetime, timedelta

from api.actions.street import check_street
from api.storage import events as stored
from api.storage.database import BandId, Session
from api.storage.faults import NotFoundError
from api.storage.people import list_people
from api.storage.records import Answer, EventRecord, Kept
from api.storage.rows import missing_numbers
from api.storage.tables import SetRow, TuneRow
from planner.errors import RequestError
from planner.event.checks import is_earlier
from planner.event.event import SORTS_BY_OCCASION, Event, Instrument, Item, Person, Setting

ANSWERS = ("yes", "no", "maybe")


def all_events(session: Session, band: BandId) -> tuple[Kept[Event], ...]:
    """Every event of the band, the earliest day first."""
    return stored.list_events(session, band)


def events_to_come(
    session: Session, band: BandId, today: date, most: int
) -> tuple[Kept[EventRecord], ...]:
    """The next events with their line-ups, the earliest day first, those without a day last."""
    return stored.events_ahead(session, band, today, most)


def one_event(session: Session, band: BandId, number: int) -> Kept[EventRecord]:
    """One event with its line-up.

    Raises:
        NotFoundError: the band has no such event.
    """
    kept = stored.find_event(session, band, number)
    if kept is None:
        raise NotFoundError("event", number)
    return kept


def add_event(session: Session, band: BandId, planned: Event) -> Kept[EventRecord]:
    """Store a new event; its line-up is empty.

    Raises:
        RequestError: a sort that does not go with the occasion, or a set that is not there.
    """
    check_event(session, band, planned)
    kept = stored.add_event(session, band, planned)
    session.commit()
    return kept


def remove_event(session: Session, band: BandId, number: int, seen: int | None) -> None:
    """Remove an event with its running order, line-up, marks by hand, agreements and prints.

    Raises:
        NotFoundError, StaleError: it is gone, or changed since it was seen.
    """
    stored.remove_event(session, band, number, seen)
    session.commit()


def check_event(
    session: Session, band: BandId, planned: Event, before: Event | None = None
) -> None:
    """Stop at a sort, an item, a route or times that make no sense.

    ``before`` is the event as it is stored, None for a new one.

    Raises:
        RequestError: it names the field, and the item counted from 1.
    """
    check_setting(planned.setting)
    _check_items(session, band, planned.items)
    check_street(session, band, planned, before.route if before else None)
    _check_alone(session, band, planned)


def check_setting(setting: Setting) -> None:
    """Stop at a sort of job that the occasion does not have.

    Raises:
        RequestError: it lists the sorts the occasion has.
    """
    sorts = SORTS_BY_OCCASION[setting.occasion]
    if setting.sort not in sorts:
        raise RequestError(
            "setting.sort",
            f"{setting.sort} is no sort of {setting.occasion.words}",
            f"choose {' or '.join(sorts)}",
        )


def _check_items(session: Session, band: BandId, items: Iterable[Item]) -> None:
    numbers = [int(item.set_key) for item in items if item.set_key]
    missing = missing_numbers(session, SetRow, band, numbers)
    for position, item in enumerate(items, start=1):
        if not item.set_key and not item.text:
            raise RequestError("items", f"item {position} is empty", "choose a set or write words")
        if item.set_key and int(item.set_key) in missing:
            raise RequestError(
                "items",
                f"item {position} names set {item.set_key}, which is not in the library",
                "choose a set that is",
            )


def _check_alone(session: Session, band: BandId, planned: Event) -> None:
    """Stop at an event that lasts into another one, also past midnight; a band is in one place."""
    mine = _span(planned)
    if mine is None:
        return
    for kept in stored.list_events(session, band):
        other, theirs = kept.noun, _span(kept.noun)
        if theirs is None or other.key == planned.key:
            continue
        if mine[0] < theirs[1] and theirs[0] < mine[1]:
            raise RequestError(
                "clock",
                f"it overlaps “{other.name}”, {theirs[0]:%H:%M} to {theirs[1]:%H:%M}",
                "move one of the two",
            )


def _span(event: Event) -> tuple[datetime, datetime] | None:
    """From the first time of the day to the last that is known, which may be after midnight.

    None where no time is known, or where they are out of order: that is told as a finding.
    """
    clock = event.clock
    known = [at for at in (clock.meet, clock.tune_up, clock.step_off, clock.end) if at is not None]
    if event.day is None or not known:
        return None
    if is_earlier(known[-1], known[0]):
        return None
    start, end = (datetime.combine(event.day, at) for at in (known[0], known[-1]))
    return start, end if end >= start else end + timedelta(days=1)


def check_line_up(
    session: Session,
    band: BandId,
    answers: Collection[Answer],
    outs: Collection[tuple[str, str]],
    harmony: Collection[tuple[str, str]],
) -> None:
    """Stop at a person or tune that is not there, or at a drummer with pipe harmony.

    Raises:
        RequestError: it names the person or tune by its key.
    """
    people = {kept.noun.key: kept.noun for kept in list_people(session, band)}
    _check_once(people, answers)
    pairs = (*outs, *harmony)
    for key in (*(answer.person_key for answer in answers), *(person for person, _ in pairs)):
        if key not in people:
            raise RequestError("line_up", f"person {key} is not in the band", "choose who is")
    missing = missing_numbers(session, TuneRow, band, (int(tune) for _, tune in pairs))
    if missing:
        number = min(missing)
        raise RequestError("line_up", f"tune {number} is not in the library", "choose one that is")
    for key, _ in harmony:
        if people[key].instrument is not Instrument.PIPES:
            name = people[key].name
            raise RequestError("harmony", f"{name} does not play the pipes", "choose a piper")


def _check_once(people: Mapping[str, Person], answers: Collection[Answer]) -> None:
    counts = Counter(answer.person_key for answer in answers)
    for key, times in counts.items():
        if times > 1 and key in people:
            name = people[key].name
            raise RequestError("line_up", f"{name} is down {times} times", "name each person once")
