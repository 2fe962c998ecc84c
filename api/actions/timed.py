"""When does each item of an event begin, and how long does it last? Without planning its tunes.

What is put in order has to answer at once, so only the music is read, and nothing is phrased.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

from api.actions.events import one_event
from api.actions.music import with_music
from api.actions.reading import LibraryTune
from api.actions.rules import rulebook_of
from api.storage import sets as stored_sets
from api.storage import tunes as stored_tunes
from api.storage.database import BandId, Session
from api.storage.records import EventRecord, Kept
from planner.errors import RequestError
from planner.event.checks import check_event
from planner.event.event import Entry, Event, Set
from planner.event.joins import Join, Neighbour, judge_join, neighbour
from planner.event.played_parts import as_played
from planner.event.street.street import StreetSums, street_sums
from planner.event.timetable import EventTimetable, time_event
from planner.findings import Finding
from planner.music.tune import Tune
from planner.plan import chosen_idiom, chosen_tempo
from planner.rules.rulebook import RuleBook


@dataclass(frozen=True, slots=True)
class TimedEvent:
    """An event with its times; ``timetable`` None, and why, where an item cannot be reckoned."""

    kept: Kept[EventRecord]
    sets: Mapping[str, Set]
    music: Mapping[str, LibraryTune]
    rules: RuleBook
    timetable: EventTimetable | None
    problem: str = ""

    @property
    def tunes(self) -> dict[str, Tune]:
        """The tunes that have music, by key."""
        return {key: each.tune for key, each in self.music.items() if each.tune is not None}

    @property
    def titles(self) -> dict[str, str]:
        """Every tune's title by its key."""
        return {key: each.record.title for key, each in self.music.items()}


def timed_event(
    session: Session, band: BandId, number: int, also: Collection[str] = ()
) -> TimedEvent:
    """An event by the clock; ``also`` are keys of sets that somebody wants to add.

    Raises:
        NotFoundError: the band has no such event.
    """
    kept = one_event(session, band, number)
    wanted = {each.set_key for each in kept.noun.event.items} | set(also)
    numbers = sorted({int(key) for key in wanted if key})
    sets = stored_sets.sets_by_number(session, band, numbers) if numbers else {}
    keys = sorted({int(entry.tune_key) for each in sets.values() for entry in each.entries})
    found = stored_tunes.tunes_by_number(session, band, keys) if keys else {}
    music = {
        each.noun.record.key: each.noun for each in with_music(session, band, tuple(found.values()))
    }
    timed = TimedEvent(kept, sets, music, rulebook_of(session, band), None)
    try:
        return replace(timed, timetable=timetable_of(timed, kept.noun.event))
    except RequestError as error:
        return replace(timed, problem=str(error))


def timetable_of(timed: TimedEvent, event: Event) -> EventTimetable:
    """The times of an event with the same sets as one that is timed.

    Raises:
        RequestError: an item cannot be reckoned with.
    """
    return time_event(event, timed.sets, timed.tunes, timed.rules)


def findings_of(timed: TimedEvent) -> tuple[Finding, ...]:
    """What a pipe-major should know of the running order; nothing where it cannot be reckoned."""
    if timed.timetable is None:
        return ()
    record = timed.kept.noun
    standard = {key: each.record.standard_setting for key, each in timed.music.items()}
    try:
        return check_event(
            record.event, timed.sets, timed.tunes, timed.rules, record.line_up, standard
        )
    except RequestError as error:
        return (Finding("not_checked", str(error)),)


def street_of(timed: TimedEvent) -> StreetSums | None:
    """Where on the route each item starts, None where nobody marches."""
    if timed.timetable is None:
        return None
    event = timed.kept.noun.event
    try:
        return street_sums(event, timed.timetable, timed.sets, timed.tunes, timed.rules)
    except RequestError:
        return None  # what cannot be reckoned is told by the findings


def joins_between(timed: TimedEvent) -> tuple[Join | None, ...]:
    """How each item leads into the next; None where one is words only, or cannot be reckoned."""
    if timed.timetable is None:
        return ()
    chosen = [timed.sets.get(item.set_key) for item in timed.kept.noun.event.items]
    return tuple(_join(*two, timed) for two in pairwise(chosen))


def _join(before: Set | None, after: Set | None, timed: TimedEvent) -> Join | None:
    if before is None or after is None or not before.entries or not after.entries:
        return None
    ends = (before.entries[-1], after.entries[0])
    if any(entry.tune_key not in timed.tunes for entry in ends):
        return None
    first, second = (_end(entry, timed) for entry in ends)
    return judge_join(first, second, timed.rules)


def _end(entry: Entry, timed: TimedEvent) -> Neighbour:
    tune, rules = timed.tunes[entry.tune_key], timed.rules
    tempo = chosen_tempo(tune, chosen_idiom(tune, rules), rules, entry.tempo_bpm)
    centre = timed.music[entry.tune_key].record.tonal_centre
    return neighbour(as_played(entry, tune), tempo.bpm, centre)
