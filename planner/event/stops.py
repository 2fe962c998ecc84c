"""At which second of a set may it be stopped? At the end of each part, repeat and tune."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from planner.event.entry_time import stopping_places
from planner.event.event import Entry, Set
from planner.event.timetable import Kind, SetTimetable, Stretch
from planner.music.tune import Tune


@dataclass(frozen=True, slots=True)
class Stop:
    """A place where a set may stop: exact seconds from its first roll, and the words."""

    seconds: Fraction
    words: str


def stops_of_set(
    timetable: SetTimetable, a_set: Set, tunes: Mapping[str, Tune]
) -> tuple[Stop, ...]:
    """Every place where a set may stop, in playing order, each time through counted."""
    found: list[Stop] = []
    at, number = Fraction(0), 0
    for stretch in timetable.stretches:
        if stretch.kind is Kind.TUNE:
            entry = a_set.entries[number % len(a_set.entries)]
            found += _stops_of_tune(stretch, entry, tunes[entry.tune_key], at)
            number += 1
        at += stretch.length()
    return tuple(found)


def _stops_of_tune(stretch: Stretch, entry: Entry, tune: Tune, at: Fraction) -> Iterator[Stop]:
    times, before = max(1, entry.times_through), Fraction(0)
    for time_through in range(1, times + 1):
        places = stopping_places(entry, tune, is_last=time_through == times)
        for place in places:
            beats = before + place.beats
            if beats <= stretch.beats:
                yield Stop(at + beats * 60 / stretch.bpm, f"{place.words} of {tune.title}")
        before += places[-1].beats if places else Fraction(0)
