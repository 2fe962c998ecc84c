"""What does a person do with one tune of a set? Say what is played of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from api.actions import sets as act
from api.actions.changes import Change
from api.actions.entry_checks import check_fit
from api.actions.music import with_music
from api.storage import tunes as stored_tunes
from api.storage.database import BandId, Session
from api.storage.faults import NotFoundError
from api.storage.records import Kept
from planner.event.event import Entry, Set
from planner.event.played_parts import in_turn
from planner.music.tune import Tune
from planner.rules.rulebook import RuleBook


@dataclass(frozen=True, slots=True)
class EntryOfSet:
    """One tune of a set; ``place`` counts from 1, ``tune`` is None without readable music.

    ``following`` is the next tune of the set as it is played there, None at the end.
    """

    kept: Kept[Set]
    place: int
    title: str
    tune: Tune | None
    following: Tune | None = None
    next_title: str = ""

    @property
    def entry(self) -> Entry:
        """The tune as it is played there."""
        return self.kept.noun.entries[self.place - 1]


def one_entry(session: Session, band: BandId, number: int, place: int) -> EntryOfSet:
    """One tune of a set.

    Raises:
        NotFoundError: the band has no such set, or the set has not so many tunes.
    """
    kept = act.one_set(session, band, number)
    if place > len(kept.noun.entries):
        raise NotFoundError("tune in this set with the number", place)
    here, *after = kept.noun.entries[place - 1 : place + 1]
    keys = sorted({int(each.tune_key) for each in (here, *after)})
    found = stored_tunes.tunes_by_number(session, band, keys)
    music = {
        each.noun.record.key: each.noun for each in with_music(session, band, tuple(found.values()))
    }
    tune = music[here.tune_key]
    next_up = music[after[0].tune_key].tune if after else None
    following = in_turn(after[0], next_up) if next_up else None
    next_title = music[after[0].tune_key].record.title if after else ""
    return EntryOfSet(kept, place, tune.record.title, tune.tune, following, next_title)


def change_entry(
    session: Session, band: BandId, seen: int | None, of: EntryOfSet, entry: Entry, book: RuleBook
) -> Kept[Set]:
    """Put another entry in the place of one; the others of the set stay as they are.

    Raises:
        NotFoundError, StaleError: the set is gone, or changed since it was seen.
        RequestError: the entry asks for what its tune does not have.
    """
    if of.tune is not None:
        check_fit(entry, of.tune, (of.following,) if of.following else ())
    entries = list(of.kept.noun.entries)
    entries[of.place - 1] = entry
    planned = replace(of.kept.noun, entries=tuple(entries))
    change = Change(f"what is played of “{of.title}”")
    return act.change_set(session, band, of.kept.id, seen, planned, book, change)
