"""How long does it last, and when does each set start?

Conventions: lengths are exact Fractions of a second until somebody prints them, so a set is to the
millisecond its introduction, tunes and joins, and an event its items and gaps. A tempo ratio of
1.03 means everything played goes 3 % faster; silence keeps its length. What lasts "until the cue"
is counted once through, is marked open-ended, and names the places where it may stop; nothing
after it has a time by the clock. Whether the times make sense is asked in ``checks.py``.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from enum import StrEnum
from fractions import Fraction

from planner.errors import RequestError
from planner.event.altered import link_beats
from planner.event.amounts import not_negative, positive
from planner.event.dance import find_dance, introduction_in_beats
from planner.event.entry_time import (
    TEMPO,
    TIMES,
    StoppingPlace,
    entry_tempo,
    played_beats,
    stopping_places,
)
from planner.event.event import Attack, Entry, Event, Item, Occasion, Set, Setting, Sort
from planner.music.tune import Tune
from planner.rules.rulebook import RuleBook


class Kind(StrEnum):
    """What a stretch of time is filled with."""

    INTRODUCTION = "introduction"
    TUNE = "tune"
    JOIN = "join"


@dataclass(frozen=True, slots=True)
class Stretch:
    """One stretch of a set: so many felt beats at a tempo, then a silence of so many seconds.

    ``name`` is the tune key of a tune and of the tune before a join. ``stops`` are the stopping
    places of a tune that lasts until the cue, with ``is_open`` True.
    """

    kind: Kind
    name: str
    beats: Fraction = Fraction(0)
    bpm: Fraction = Fraction(60)
    silence: Fraction = Fraction(0)
    is_open: bool = False
    stops: tuple[StoppingPlace, ...] = ()

    def length(self, tempo_ratio: Fraction = Fraction(1)) -> Fraction:
        """Exact seconds when played at ``tempo_ratio`` times the tempo."""
        return self.beats * 60 / (self.bpm * tempo_ratio) + self.silence

    @property
    def seconds(self) -> float:
        """Seconds at the tempo as planned."""
        return float(self.length())


@dataclass(frozen=True, slots=True)
class SetTimetable:
    """The stretches of a set in order."""

    key: str
    name: str
    stretches: tuple[Stretch, ...]
    is_open_ended: bool = False

    def length(self, tempo_ratio: Fraction = Fraction(1)) -> Fraction:
        """Exact seconds; what lasts until the cue is counted once through."""
        return sum((stretch.length(tempo_ratio) for stretch in self.stretches), Fraction(0))

    def length_of(self, kind: Kind) -> Fraction:
        """Exact seconds of one kind of stretch."""
        return sum((each.length() for each in self.stretches if each.kind is kind), Fraction(0))

    @property
    def seconds(self) -> float:
        """Seconds at the tempo as planned; what lasts until the cue is counted once through."""
        return float(self.length())

    @property
    def stops(self) -> tuple[StoppingPlace, ...]:
        """The stopping places of its open-ended tunes."""
        return tuple(stop for stretch in self.stretches for stop in stretch.stops)


@dataclass(frozen=True, slots=True)
class Slot:
    """An item of the running order with its time: ``start`` None after an open-ended item."""

    item: Item
    name: str
    length: Fraction
    start: time | None
    end: time | None
    timetable: SetTimetable | None = None

    @property
    def seconds(self) -> float:
        """Seconds of the item without the gap after it."""
        return float(self.length)

    @property
    def is_open_ended(self) -> bool:
        """True when the item lasts until a cue."""
        return self.timetable is not None and self.timetable.is_open_ended


@dataclass(frozen=True, slots=True)
class EventTimetable:
    """The running order by the clock. ``end`` is None when it cannot be known."""

    slots: tuple[Slot, ...]
    length: Fraction
    start: time | None
    end: time | None

    @property
    def seconds(self) -> float:
        """Seconds of all items and the gaps between them, without waits for a fixed start."""
        return float(self.length)

    @property
    def is_open_ended(self) -> bool:
        """True when any item lasts until a cue."""
        return any(slot.is_open_ended for slot in self.slots)


@dataclass(frozen=True, slots=True)
class NervousLengths:
    """Seconds of a set at the planned tempo, and with nerves slowing or driving it."""

    slower: Fraction
    planned: Fraction
    quicker: Fraction


def time_event(
    event: Event, sets: Mapping[str, Set], tunes: Mapping[str, Tune], rulebook: RuleBook
) -> EventTimetable:
    """The running order with the length of each item, and its start by the clock where known.

    Raises:
        RequestError: an item names a set, or a set a tune, that is not there; a bad amount.
    """
    slots: list[Slot] = []
    clock = event.clock.step_off
    start = clock
    length = Fraction(0)
    for place, item in enumerate(event.items):
        slot = _slot(item, sets, tunes, rulebook, event.setting)
        begin = item.start or clock
        start = begin if place == 0 else start
        end = None if slot.is_open_ended else later(begin, slot.length)
        slots.append(replace(slot, start=begin, end=end))
        gap = not_negative("gap after", item.gap_after_s, "the seconds between two items")
        is_last = place == len(event.items) - 1
        length += slot.length + (0 if is_last else gap)
        clock = later(end, gap)
    return EventTimetable(tuple(slots), length, start, slots[-1].end if slots else start)


def time_set(
    a_set: Set, tunes: Mapping[str, Tune], rulebook: RuleBook, setting: Setting
) -> SetTimetable:
    """The introduction, the tunes and the joins of a set, each with its exact length.

    Raises:
        RequestError: a tune is missing, has no tempo, lacks a part, or an amount is bad.
    """
    if a_set.times_through < 0:
        raise RequestError(f"set {a_set.name}", "is played a negative number of times", TIMES)
    played = [_tune_stretch(entry, tunes, rulebook) for entry in a_set.entries]
    if not played:
        return SetTimetable(a_set.key, a_set.name, ())
    beats = introduction_beats(a_set, rulebook, setting)
    introduction = Stretch(Kind.INTRODUCTION, a_set.name, beats, played[0].bpm)
    rounds = max(1, a_set.times_through)
    joins = list(_joins(a_set, played, tunes, rulebook))
    stretches = (introduction, *_joined(played * rounds, joins * rounds))
    is_open = a_set.times_through == 0 or any(stretch.is_open for stretch in played)
    return SetTimetable(a_set.key, a_set.name, stretches, is_open)


def introduction_beats(a_set: Set, rulebook: RuleBook, setting: Setting) -> Fraction:
    """Felt beats before the first tune: the set's own, its attack's, dance's or occasion's."""
    if a_set.introduction_beats is not None:
        return not_negative("introduction", a_set.introduction_beats, "a number of beats")
    if a_set.entries and a_set.entries[0].attack is not None:
        return rolls_before(a_set.entries[0], rulebook)
    danced = introduction_in_beats(find_dance(a_set.dance, rulebook)) if a_set.dance else None
    if danced is not None:
        return danced
    occasion = a_set.occasion or setting.occasion
    is_solo = setting.sort is Sort.SOLO and occasion is Occasion.EXHIBITION
    name = "solo" if is_solo else occasion.value
    return Fraction(str(rulebook.number(f"drill.introduction.{name}")))


def rolls_before(entry: Entry, rulebook: RuleBook) -> Fraction:
    """Felt beats of the rolls before a tune, none unless it is attacked with rolls."""
    if entry.attack is not Attack.ROLLS:
        return Fraction(0)
    return Fraction(str(rulebook.number("drill.attack.rolls")))


def lengths_with_nerves(timetable: SetTimetable, rulebook: RuleBook) -> NervousLengths:
    """The length of a set when nerves slow or drive the tempo by the rule book's share."""
    share = Fraction(str(rulebook.number("drill.tempo.nerves")))
    return NervousLengths(
        timetable.length(1 - share), timetable.length(), timetable.length(1 + share)
    )


def later(start: time | None, seconds: Fraction) -> time | None:
    """The time by the clock so many seconds later, past midnight if need be."""
    if start is None:
        return None
    moved = datetime.combine(date(2000, 1, 1), start) + timedelta(
        microseconds=round(seconds * 1_000_000)
    )
    return moved.time()


def _slot(
    item: Item,
    sets: Mapping[str, Set],
    tunes: Mapping[str, Tune],
    rulebook: RuleBook,
    setting: Setting,
) -> Slot:
    if not item.set_key:
        length = not_negative(item.text or "item", item.seconds, "its length in seconds")
        return Slot(item, item.text, length, None, None)
    if item.set_key not in sets:
        raise RequestError("running order", f"there is no set {item.set_key!r}", "choose another")
    timetable = time_set(sets[item.set_key], tunes, rulebook, setting)
    return Slot(item, timetable.name, timetable.length(), None, None, timetable)


def _tune_stretch(entry: Entry, tunes: Mapping[str, Tune], rulebook: RuleBook) -> Stretch:
    if entry.tune_key not in tunes:
        raise RequestError("set", f"there is no tune {entry.tune_key!r}", "choose another")
    tune = tunes[entry.tune_key]
    bpm = positive("tempo", entry_tempo(entry, tune, rulebook).bpm, TEMPO)
    stops = stopping_places(entry, tune) if entry.is_until_cue else ()
    beats = played_beats(entry, tune)
    return Stretch(Kind.TUNE, entry.tune_key, beats, bpm, is_open=entry.is_until_cue, stops=stops)


def _joins(
    a_set: Set, played: Sequence[Stretch], tunes: Mapping[str, Tune], rulebook: RuleBook
) -> Iterator[tuple[Stretch, ...]]:
    """What comes after each tune: its link, silence, and the rolls that the next one asks for."""
    for place, (entry, stretch) in enumerate(zip(a_set.entries, played, strict=True)):
        link = link_beats(entry, tunes[entry.tune_key])
        pause = not_negative("pause", entry.pause_after_s, "the seconds of silence")
        join = Stretch(Kind.JOIN, entry.tune_key, link, stretch.bpm, pause)
        following = a_set.entries[place + 1] if place + 1 < len(played) else None
        rolls = rolls_before(following, rulebook) if following else Fraction(0)
        if rolls:
            yield join, Stretch(Kind.JOIN, entry.tune_key, rolls, played[place + 1].bpm)
        else:
            yield (join,)


def _joined(played: Sequence[Stretch], joins: Sequence[tuple[Stretch, ...]]) -> Iterator[Stretch]:
    # What comes after the last tune leads nowhere: the gap after the item covers it.
    for place, (stretch, join) in enumerate(zip(played, joins, strict=True)):
        yield stretch
        if place < len(played) - 1:
            yield from join
