"""Who can play what, and how well? And who cannot play what an event asks of them?

A piper has learnt a tune on the practice chanter, on pipes standing, or on pipes marching; a
drummer has a score or has none. What nobody has said is not held against anybody.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from api.actions.events import one_event
from api.storage import readiness as stored
from api.storage.database import BandId, Session
from api.storage.records import EventRecord, Kept, Learnt
from api.storage.rows import missing_numbers
from api.storage.sets import sets_by_number
from api.storage.tables import TuneRow
from planner.errors import RequestError
from planner.event.event import Event, Occasion, Person, Set
from planner.findings import Finding


class Level(StrEnum):
    """How far a tune is learnt, each level above the one before it for pipers."""

    NOT_YET = "not-yet"
    CHANTER = "chanter"
    STANDING = "pipes-standing"
    MARCHING = "pipes-marching"
    HAS_SCORE = "has-score"


# What does an occasion ask of a piper? A parade marches, the others stand.
ASKED_BY_OCCASION = {Occasion.PARADE: Level.MARCHING}
LEVEL_WORDS = {
    Level.NOT_YET: "not yet",
    Level.CHANTER: "on the chanter",
    Level.STANDING: "on pipes, standing",
    Level.MARCHING: "on pipes, marching",
    Level.HAS_SCORE: "with a score",
}
RISING = (Level.NOT_YET, Level.CHANTER, Level.STANDING, Level.MARCHING)


@dataclass(frozen=True, slots=True)
class Gap:
    """A person of a line-up who cannot play a tune as the event asks, though not out of it."""

    person: Person
    tune_key: str
    level: Level
    needed: Level


def all_readiness(session: Session, band: BandId) -> tuple[Learnt, ...]:
    """What is known of every person and tune."""
    return stored.list_readiness(session, band)


def readiness_of(session: Session, band: BandId, tunes: Collection[str]) -> tuple[Learnt, ...]:
    """What is known of everybody and these tunes (keys)."""
    return stored.list_readiness(session, band, tunes)


def change_readiness(
    session: Session, band: BandId, number: int, seen: int | None, levels: Mapping[str, str]
) -> Kept[Person]:
    """Write down how far a person has learnt tunes (level by tune key, empty: nobody has said).

    Raises:
        NotFoundError, StaleError: the person is gone, or changed since they were seen.
        RequestError: a tune that is not there, or an unknown level.
    """
    missing = missing_numbers(session, TuneRow, band, [int(key) for key in levels])
    if missing:
        raise RequestError(
            "levels", f"tune {min(missing)} is not in the library", "choose one that is"
        )
    for level in levels.values():
        if level and level not in set(Level):
            raise RequestError("levels", f"“{level}” is no level", f"choose {', '.join(Level)}")
    kept = stored.change_readiness(session, band, number, seen, levels)
    session.commit()
    return kept


def gaps_of_event(session: Session, band: BandId, number: int) -> tuple[Gap, ...]:
    """Who of an event's line-up cannot play what, in the order of line-up and running order.

    Raises:
        NotFoundError: the band has no such event.
    """
    record = one_event(session, band, number).noun
    numbers = sorted({int(item.set_key) for item in record.event.items if item.set_key})
    sets = sets_by_number(session, band, numbers) if numbers else {}
    played = tunes_played(record.event, sets)
    return gaps_of(record, played, stored.list_readiness(session, band, played))


def tunes_played(event: Event, sets: Mapping[str, Set]) -> tuple[str, ...]:
    """The keys of the tunes of an event in playing order, each once."""
    played = (sets[item.set_key] for item in event.items if item.set_key)
    return tuple(dict.fromkeys(entry.tune_key for one in played for entry in one.entries))


def gaps_of(record: EventRecord, tunes: Sequence[str], learnt: Iterable[Learnt]) -> tuple[Gap, ...]:
    """Who of a line-up cannot play what; what nobody has said is no gap."""
    known = {(each.person_key, each.tune_key): Level(each.level) for each in learnt}
    occasion = record.event.setting.occasion
    return tuple(
        Gap(person, tune, known[person.key, tune], needed_level(person, occasion))
        for person in record.line_up.people
        for tune in tunes
        if (person.key, tune) in known
        and (person.key, tune) not in record.line_up.outs
        and not is_enough(known[person.key, tune], needed_level(person, occasion))
    )


def gap_finding(gap: Gap, title: str) -> Finding:
    """A gap in one sentence."""
    has, needed = LEVEL_WORDS[gap.level], LEVEL_WORDS[gap.needed]
    text = f"{gap.person.name} is asked for “{title}” ({needed}) and has it {has}."
    return Finding("not_ready_to_play", text)


def needed_level(person: Person, occasion: Occasion) -> Level:
    """What an occasion asks of a person: marching or standing, or for drummers a score."""
    if person.instrument.is_drum:
        return Level.HAS_SCORE
    return ASKED_BY_OCCASION.get(occasion, Level.STANDING)


def is_enough(level: Level, needed: Level) -> bool:
    """True when a level reaches the one needed."""
    if needed is Level.HAS_SCORE or level is Level.HAS_SCORE:
        return level is needed
    return RISING.index(level) >= RISING.index(needed)
