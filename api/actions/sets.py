"""What does a person do with sets? Build, look, change, remove.

Each function takes a session and the band, does one whole thing and commits it; ``seen`` is the
version the person saw (None: any). What is written comes as the engine's own ``Set``; its key is
not looked at.
"""

from __future__ import annotations

from collections.abc import Sequence

from api.actions.changes import SOME_CHANGE, Change
from api.actions.entry_checks import check_played, is_as_printed
from api.actions.music import with_music
from api.storage import sets as stored
from api.storage import tunes as stored_tunes
from api.storage.database import BandId, Session
from api.storage.faults import InUseError, NotFoundError
from api.storage.records import Kept
from planner.errors import RequestError
from planner.event.contest.rulesets import find_ruleset
from planner.event.dance import Dance, check_steps, find_dance
from planner.event.event import Entry, Set
from planner.rules.rulebook import RuleBook

AT_ONCE = 50
"""How many sets stand on one page of the list?"""


def all_sets(session: Session, band: BandId) -> tuple[Kept[Set], ...]:
    """Every set of the band by number and name."""
    return stored.list_sets(session, band)


def page_of_sets(session: Session, band: BandId, page: int) -> tuple[tuple[Kept[Set], ...], int]:
    """The sets of one page (from 1) by number and name, and how many sets there are in all."""
    return stored.some_sets(session, band, (page - 1) * AT_ONCE, AT_ONCE)


def next_number(session: Session, band: BandId) -> int:
    """The number a new set may be called by: one more than the highest in use."""
    return stored.highest_number(session, band) + 1


def one_set(session: Session, band: BandId, number: int) -> Kept[Set]:
    """One set.

    Raises:
        NotFoundError: the band has no such set.
    """
    kept = stored.find_set(session, band, number)
    if kept is None:
        raise NotFoundError("set", number)
    return kept


def add_set(session: Session, band: BandId, planned: Set, rulebook: RuleBook) -> Kept[Set]:
    """Store a new set.

    Raises:
        RequestError: a tune, a part, contest rules or a dance that is not there.
    """
    check_set(session, band, planned, rulebook)
    kept = stored.add_set(session, band, planned)
    session.commit()
    return kept


def change_set(
    session: Session,
    band: BandId,
    number: int,
    seen: int | None,
    planned: Set,
    rulebook: RuleBook,
    change: Change = SOME_CHANGE,
) -> Kept[Set]:
    """Change a set: its entries are replaced by the new ones; ``change`` says what was done.

    Raises:
        NotFoundError, StaleError: it is gone, or changed since it was seen.
        RequestError: a tune, a part, contest rules or a dance that is not there.
    """
    check_set(session, band, planned, rulebook)
    kept = stored.change_set(
        session, band, number, seen, planned, change.words, is_typing=change.is_typing
    )
    session.commit()
    return kept


def undo_set(session: Session, band: BandId, number: int, seen: int | None) -> bool:
    """Put a set back to how it stood before its last change; False when there is none to undo.

    Raises:
        NotFoundError, StaleError: it is gone, or changed since it was seen.
    """
    is_done = stored.undo_set(session, band, number, seen)
    session.commit()
    return is_done


def last_change(session: Session, number: int) -> str | None:
    """What undo would take back, in words; None when there is nothing."""
    return stored.last_change(session, number)


def remove_set(session: Session, band: BandId, number: int, seen: int | None) -> None:
    """Remove a set that no event needs; its tunes stay.

    Raises:
        NotFoundError, StaleError: it is gone, or changed since it was seen.
        InUseError: an event needs it.
    """
    name = one_set(session, band, number).noun.name
    users = stored.events_with_set(session, band, number)
    if users:
        events = "the event " + ", ".join(f"“{event}”" for event in users)
        raise InUseError("set", name, events, "take it out of the running order there first")
    stored.remove_set(session, band, number, seen)
    session.commit()


def check_set(session: Session, band: BandId, planned: Set, rulebook: RuleBook) -> None:
    """Stop at a set that names what is not there, or steps that do not fit its dance.

    Raises:
        RequestError: it says what is not there.
    """
    check_entries(session, band, planned.entries)
    if planned.ruleset:
        find_ruleset(planned.ruleset, rulebook)
    if planned.dance:
        dance = find_dance(planned.dance, rulebook)
        if planned.steps:
            check_steps(dance, planned.steps)
        _check_tempo(session, band, planned, dance)


def _check_tempo(session: Session, band: BandId, planned: Set, dance: Dance) -> None:
    """Stop at a tune without a tempo of its own for a dance of which none is on record.

    Raises:
        RequestError: it names the dance and the tune.
    """
    bare = [int(entry.tune_key) for entry in planned.entries if entry.tempo_bpm is None]
    if not bare or all(tempo.tempo for tempo in dance.tempos):
        return
    kept = tuple(stored_tunes.tunes_by_number(session, band, sorted(set(bare))).values())
    for each in with_music(session, band, kept):
        tune, record = each.noun.tune, each.noun.record
        if record.tempo_bpm is None and (tune is None or tune.tempo is None):
            problem = f"no tempo of {dance.title} is on record, and “{record.title}” gives none"
            raise RequestError("dance", problem, "ask the dancers and write it beside the tune")


def check_entries(session: Session, band: BandId, entries: Sequence[Entry]) -> None:
    """Stop at an entry whose tune is not there, or cannot be played as the entry says.

    Raises:
        RequestError: it names the entry, counted from 1.
    """
    numbers = sorted({int(entry.tune_key) for entry in entries})
    found = stored_tunes.tunes_by_number(session, band, numbers) if numbers else {}
    for position, entry in enumerate(entries, start=1):
        if entry.tune_key not in found:
            raise RequestError(
                "entries",
                f"entry {position} names tune {entry.tune_key}, which is not in the library",
                "choose a tune that is",
            )
    if not all(is_as_printed(entry) for entry in entries):
        music = with_music(session, band, tuple(found.values()))
        check_played(entries, {kept.noun.record.key: kept.noun.tune for kept in music})
