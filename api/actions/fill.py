"""Which sets fill this slot? A selection and an order, with alternatives and what differs.

A set is worth the ten-seconds it fills, as far as the line-up is ready for it: what nobody has said
is not held against anybody. Sets of the occasion, or of none, are offered; what is asked for comes
in whatever its occasion, and what is forbidden stays out. All of it is a proposal.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from api.actions.changes import Change
from api.actions.day import put_order
from api.actions.events import one_event
from api.actions.music import with_music
from api.actions.readiness import Level, is_enough, needed_level
from api.actions.reading import LibraryTune
from api.actions.rules import rulebook_of
from api.storage import sets as stored_sets
from api.storage import tunes as stored_tunes
from api.storage.database import BandId, Session
from api.storage.readiness import list_readiness
from api.storage.records import EventRecord, Kept
from planner.errors import RequestError
from planner.event.amounts import positive
from planner.event.entry_time import entry_tempo
from planner.event.event import Entry, Familiarity, Item, LineUp, Occasion, Set, Setting, Weight
from planner.event.filling.candidates import Candidate, End
from planner.event.filling.running_order import RunningOrder, running_order
from planner.event.filling.selection import Room
from planner.event.joins import neighbour
from planner.event.played_parts import as_played
from planner.event.timetable import time_set
from planner.music.tune import Tune
from planner.rules.rulebook import RuleBook

MOST_ALTERNATIVES = 3
FILLING = Change("filling the slot")
SECONDS_A_POINT = 10
EVERYBODY = 1.0


@dataclass(frozen=True, slots=True)
class Wish:
    """What is to be filled, and how: ``forced`` and ``forbidden`` are set keys."""

    minutes: float
    gap_s: float = 30.0
    occasion: Occasion | None = None
    forced: frozenset[str] = frozenset()
    forbidden: frozenset[str] = frozenset()
    only_ready: bool = False


@dataclass(frozen=True, slots=True)
class Proposal:
    """A running order, its seconds with the gaps, and what differs from the one proposed first."""

    order: RunningOrder
    seconds: float
    unused_s: float
    differences: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Filling:
    """The proposal, other proposals, and (name, why) of the sets that stayed out."""

    kept: Kept[EventRecord]
    wish: Wish
    best: Proposal
    others: tuple[Proposal, ...]
    left_out: tuple[tuple[str, str], ...]
    sets: tuple[Set, ...]


@dataclass(frozen=True, slots=True)
class Shelf:
    """Every set with its tunes, and what is known of who can play them."""

    sets: tuple[Set, ...]
    music: Mapping[str, LibraryTune]
    book: RuleBook
    levels: Mapping[tuple[str, str], Level]

    @property
    def tunes(self) -> dict[str, Tune]:
        """The tunes that have music, by key."""
        return {key: kept.tune for key, kept in self.music.items() if kept.tune is not None}


def fill_slot(session: Session, band: BandId, number: int, wish: Wish) -> Filling:
    """The sets that fill a slot best, in the order that varies them most.

    Raises:
        NotFoundError: the band has no such event.
        RequestError: no time, a set that is not there, or one both asked for and forbidden.
    """
    kept = one_event(session, band, number)
    shelf = _shelf(session, band)
    offered, left_out = _offered(kept.noun, wish, shelf)
    best = _proposal(offered, wish, shelf.book)
    left_out += [
        (each.name, "it does not fit beside the others, or shares a tune with one of them")
        for each in offered
        if each not in best.order.items
    ]
    others = _others(best, offered, wish, shelf.book)
    return Filling(kept, wish, best, others, tuple(left_out), shelf.sets)


def candidates_for(
    session: Session, band: BandId, number: int, wish: Wish
) -> tuple[Candidate, ...]:
    """The sets that a slot may be filled with, as they are weighed.

    Raises:
        NotFoundError, RequestError: as ``fill_slot``.
    """
    record = one_event(session, band, number).noun
    return tuple(_offered(record, wish, _shelf(session, band))[0])


def apply_filling(
    session: Session, band: BandId, number: int, seen: int | None, wish: Wish
) -> Kept[EventRecord]:
    """Make the proposal the running order of the event.

    Raises:
        NotFoundError, StaleError: the event is gone, or changed since it was seen.
        RequestError: as ``fill_slot``, or nothing fits.
    """
    order = fill_slot(session, band, number, wish).best.order.items
    if not order:
        raise RequestError("minutes", "no set fits into the time", "give more minutes")
    last = len(order) - 1
    items = tuple(
        Item(set_key=each.key, gap_after_s=0.0 if place == last else wish.gap_s)
        for place, each in enumerate(order)
    )
    return put_order(session, band, number, seen, items, FILLING)


def _shelf(session: Session, band: BandId) -> Shelf:
    sets = tuple(kept.noun for kept in stored_sets.list_sets(session, band))
    numbers = sorted({int(entry.tune_key) for each in sets for entry in each.entries})
    kept = stored_tunes.tunes_by_number(session, band, numbers)
    music = with_music(session, band, tuple(kept.values()))
    learnt = list_readiness(session, band, kept)
    return Shelf(
        sets,
        {kept.noun.record.key: kept.noun for kept in music},
        rulebook_of(session, band),
        {(each.person_key, each.tune_key): Level(each.level) for each in learnt},
    )


def _check(wish: Wish, sets: Iterable[Set]) -> None:
    positive("minutes", wish.minutes, "the minutes there are to fill, such as 20")
    names = {one.key: one.name for one in sets}
    for key in sorted(wish.forced | wish.forbidden):
        if key not in names:
            raise RequestError("sets", f"set {key} is not in the library", "choose one that is")
    both = sorted(wish.forced & wish.forbidden)
    if both:
        raise RequestError(
            "sets", f"“{names[both[0]]}” is both asked for and forbidden", "choose one of the two"
        )


def _offered(
    record: EventRecord, wish: Wish, shelf: Shelf
) -> tuple[list[Candidate], list[tuple[str, str]]]:
    """The sets that may be chosen, and (name, why) of the others."""
    _check(wish, shelf.sets)
    setting = record.event.setting
    if wish.occasion is not None:
        setting = replace(setting, occasion=wish.occasion)
    offered: list[Candidate] = []
    left_out: list[tuple[str, str]] = []
    for one in shelf.sets:
        why = _why_not(one, wish, setting, record.line_up, shelf)
        if why:
            left_out.append((one.name, why))
        else:
            offered.append(_candidate(one, wish, setting, record.line_up, shelf))
    return offered, left_out


def _why_not(one: Set, wish: Wish, setting: Setting, line_up: LineUp, shelf: Shelf) -> str:
    if one.key in wish.forbidden:
        return "it is forbidden"
    if not one.entries or any(entry.tune_key not in shelf.tunes for entry in one.entries):
        return "it has no music to reckon with"
    if one.key in wish.forced:
        return ""
    if one.occasion not in (None, setting.occasion):
        return f"it is for {one.occasion.words if one.occasion else ''}"
    is_open = one.times_through == 0 or any(entry.is_until_cue for entry in one.entries)
    if is_open:
        return "it lasts until the cue"
    if wish.only_ready and ready_share(one, setting, line_up, shelf.levels) < EVERYBODY:
        return "not everybody is ready for it"
    return ""


def ready_share(
    one: Set, setting: Setting, line_up: LineUp, levels: Mapping[tuple[str, str], Level]
) -> float:
    """The share of players and tunes of a set that are ready, of those where somebody has said."""
    asked = [
        is_enough(levels[person.key, entry.tune_key], needed_level(person, setting.occasion))
        for person in line_up.people
        for entry in one.entries
        if (person.key, entry.tune_key) in levels
        and (person.key, entry.tune_key) not in line_up.outs
    ]
    return sum(asked) / len(asked) if asked else EVERYBODY


def _candidate(one: Set, wish: Wish, setting: Setting, line_up: LineUp, shelf: Shelf) -> Candidate:
    share = ready_share(one, setting, line_up, shelf.levels)
    seconds = time_set(one, shelf.tunes, shelf.book, setting).seconds
    return Candidate(
        key=one.key,
        name=one.name,
        seconds=seconds,
        worth=max(1, round(seconds / SECONDS_A_POINT * share)),
        tunes=frozenset(entry.tune_key for entry in one.entries),
        opens=_end(one.entries[0], shelf),
        closes=_end(one.entries[-1], shelf),
        is_required=one.key in wish.forced,
        is_easy=share == EVERYBODY,
        is_strong=_is_strong(one, shelf),
        is_known=one.familiarity is not Familiarity.NEW,
    )


def _end(entry: Entry, shelf: Shelf) -> End:
    tune = shelf.tunes[entry.tune_key]
    tempo = entry_tempo(entry, tune, shelf.book)
    centre = shelf.music[entry.tune_key].record.tonal_centre
    return End(neighbour(as_played(entry, tune), tempo.bpm, centre), tune.idiom or "")


def _is_strong(one: Set, shelf: Shelf) -> bool:
    """As the band has said, else by the idiom of its first tune."""
    if one.weight is not None:
        return one.weight is Weight.STRONG
    light = shelf.book["running_order.light.idioms"].value
    return not isinstance(light, tuple) or shelf.tunes[one.entries[0].tune_key].idiom not in light


def _proposal(offered: list[Candidate], wish: Wish, book: RuleBook) -> Proposal:
    room = Room(wish.minutes * 60, wish.gap_s)
    order = running_order(offered, room, book)
    played = sum(each.seconds for each in order.items)
    seconds = played + wish.gap_s * max(0, len(order.items) - 1)
    return Proposal(order, seconds, room.seconds - seconds)


def _others(
    best: Proposal, offered: list[Candidate], wish: Wish, book: RuleBook
) -> tuple[Proposal, ...]:
    """Other selections: each leaves out one set of the first that nobody asked for."""
    found: dict[frozenset[str], Proposal] = {}
    for without in best.order.items:
        if without.is_required:
            continue
        other = _proposal([each for each in offered if each is not without], wish, book)
        keys = frozenset(each.key for each in other.order.items)
        if keys and keys not in found:
            found[keys] = replace(other, differences=_differences(best, other))
    nearest = sorted(found.values(), key=lambda each: each.unused_s)
    return tuple(nearest[:MOST_ALTERNATIVES])


def _differences(best: Proposal, other: Proposal) -> tuple[str, ...]:
    first, second = best.order.items, other.order.items
    said = [f"without {each.name}" for each in first if each not in second]
    said += [f"with {each.name}" for each in second if each not in first]
    seconds = round(other.seconds - best.seconds)
    if seconds:
        said.append(f"{abs(seconds)} s {'longer' if seconds > 0 else 'shorter'}")
    points = other.order.points - best.order.points
    if points:
        amount = abs(points)
        plural = "" if amount == 1 else "s"
        said.append(f"{amount} point{plural} {'more' if points > 0 else 'less'} against its order")
    return tuple(said)
