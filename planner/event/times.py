"""How long is every set and the whole event at the tempo that nerves may bring?

A set is its introduction, its tunes and its joins; an event its items and the gaps between them.
Nerves move the tempo by the rule book's share either way: what is played goes slower or quicker,
words, pauses and gaps keep their length. What lasts until the cue is counted once and names the
places where it may stop.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import time
from fractions import Fraction

from planner.event.event import Event
from planner.event.timetable import (
    EventTimetable,
    Kind,
    NervousLengths,
    SetTimetable,
    Slot,
    later,
    lengths_with_nerves,
)
from planner.music.tune import Tune
from planner.rules.rulebook import RuleBook


@dataclass(frozen=True, slots=True)
class TuneTime:
    """A tune of a set: seconds, and its tempo in felt beats a minute."""

    title: str
    seconds: Fraction
    bpm: Fraction
    stops: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ItemTimes:
    """An item with what it is made of; ``tunes`` is empty where it is no set."""

    name: str
    start: time | None
    introduction: Fraction
    tunes: tuple[TuneTime, ...]
    joins: Fraction
    lengths: NervousLengths
    gap_after: Fraction
    is_open: bool


@dataclass(frozen=True, slots=True)
class EventTimes:
    """Every item, and the whole with its end by the clock where the start is known."""

    items: tuple[ItemTimes, ...]
    lengths: NervousLengths
    ends: tuple[time | None, time | None, time | None]
    share: float


def event_times(
    event: Event, timetable: EventTimetable, tunes: Mapping[str, Tune], rulebook: RuleBook
) -> EventTimes:
    """Every item of an event as planned, and with nerves slowing or driving it."""
    last = len(timetable.slots) - 1
    items = tuple(
        _item(slot, tunes, rulebook, is_last=place == last)
        for place, slot in enumerate(timetable.slots)
    )
    share = rulebook.number("drill.tempo.nerves")
    return EventTimes(items, _sum(items), _ends(event, timetable, rulebook), share)


def _item(slot: Slot, tunes: Mapping[str, Tune], rulebook: RuleBook, *, is_last: bool) -> ItemTimes:
    timed = slot.timetable
    gap = Fraction(0) if is_last else Fraction(str(slot.item.gap_after_s))
    if timed is None:
        same = NervousLengths(slot.length, slot.length, slot.length)
        return ItemTimes(slot.name, slot.start, Fraction(0), (), Fraction(0), same, gap, False)
    return ItemTimes(
        name=slot.name,
        start=slot.start,
        introduction=timed.length_of(Kind.INTRODUCTION),
        tunes=tuple(_tunes(timed, tunes)),
        joins=timed.length_of(Kind.JOIN),
        lengths=lengths_with_nerves(timed, rulebook),
        gap_after=gap,
        is_open=timed.is_open_ended,
    )


def _tunes(timed: SetTimetable, tunes: Mapping[str, Tune]) -> Iterator[TuneTime]:
    for each in timed.stretches:
        if each.kind is Kind.TUNE:
            title = tunes[each.name].title if each.name in tunes else each.name
            stops = tuple(stop.words for stop in each.stops)
            yield TuneTime(title, each.length(), each.bpm, stops)


def _sum(items: tuple[ItemTimes, ...]) -> NervousLengths:
    gaps = sum((each.gap_after for each in items), Fraction(0))
    return NervousLengths(
        sum((each.lengths.slower for each in items), gaps),
        sum((each.lengths.planned for each in items), gaps),
        sum((each.lengths.quicker for each in items), gaps),
    )


def _ends(
    event: Event, timetable: EventTimetable, rulebook: RuleBook
) -> tuple[time | None, time | None, time | None]:
    """When the last item is over: an item with a fixed start waits for it, or is late for it."""
    share = Fraction(str(rulebook.number("drill.tempo.nerves")))
    slower, quicker = (_end(event, timetable, 1 - share), _end(event, timetable, 1 + share))
    return slower, timetable.end, quicker


def _end(event: Event, timetable: EventTimetable, ratio: Fraction) -> time | None:
    clock = event.clock.step_off
    end: time | None = clock
    for slot in timetable.slots:
        length = slot.timetable.length(ratio) if slot.timetable else slot.length
        end = None if slot.is_open_ended else later(slot.item.start or clock, length)
        clock = later(end, Fraction(str(slot.item.gap_after_s)))
    return end
