"""What the laws are checked on: plans as documents, and the strict places worked out afresh.

Nothing here asks the engine where a drum strikes or which notes make a figure: the laws would not
be worth much if it did.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from typing import Any

from api.display.documents.plan import plan_document
from planner.event.event import (
    SORTS_BY_OCCASION,
    Circumstance,
    Control,
    Drums,
    Occasion,
    Setting,
    Sort,
)
from planner.music.tempo import Metre
from planner.music.tune import Bar, Note, Part, Tune
from planner.plan import TunePlan, plan_tune
from planner.rules.load import load_rulebook

Place = tuple[int, int, int, float]
"""Part, bar, ending, beat."""

RULES = load_rulebook()
CLOSE_MS = 0.001


def setting(
    occasion: Occasion,
    sort: Sort | None = None,
    drums: Drums = Drums.FULL,
    rung: int | None = 4,
    circumstances: Iterable[Circumstance] = (),
) -> Setting:
    """A setting; the usual sort when none is given."""
    chosen = sort or SORTS_BY_OCCASION[occasion][0]
    return Setting(occasion, chosen, drums, Control(rung), tuple(circumstances))


STRICT = (
    setting(Occasion.PARADE),
    setting(Occasion.PARADE, drums=Drums.BASS),
    setting(Occasion.DANCE),
    setting(Occasion.PARADE, Sort.MASSED),
)
FREE = (
    setting(Occasion.COMPETITION),
    setting(Occasion.EXHIBITION),
    setting(Occasion.EXHIBITION, Sort.SOLO, Drums.NONE),
    setting(Occasion.DANCE, drums=Drums.NONE),
)
EVERYWHERE = (*STRICT, *FREE)


def words(where: Setting) -> str:
    """A setting as a test's name says it."""
    return f"{where.sort}-{where.drums}-drums"


def plan(tune: Tune, where: Setting) -> TunePlan:
    """The plan of a tune."""
    return plan_tune(tune, where, RULES)


@lru_cache(maxsize=64)  # the laws of one setting come one after the other, on the same tunes
def document(tune: Tune, where: Setting) -> dict[str, Any]:
    """The plan as its reader gets it: through JSON and back. Read it, never change it."""
    found: dict[str, Any] = json.loads(json.dumps(plan_document(plan(tune, where))))
    return found


def place_of(entry: dict[str, Any]) -> Place:
    """Where an entry of the document stands."""
    return entry["part"], entry["bar"], entry["ending"], entry["beat"]


def said_beat(beat: Fraction) -> float:
    """A beat as the document says it: to six places."""
    return round(float(beat), 6)


def bar_of(entry: dict[str, Any]) -> tuple[int, int, int]:
    """The bar an entry stands in."""
    return place_of(entry)[:3]


def printed_bars(tune: Tune) -> Iterator[tuple[Part, Bar]]:
    """Every printed bar with its part."""
    return ((part, bar) for part in tune.parts for bar in part.bars)


def notes_by_bar(found: dict[str, Any]) -> dict[tuple[int, int, int], list[dict[str, Any]]]:
    """The played notes of a document, bar by bar."""
    by_bar: dict[tuple[int, int, int], list[dict[str, Any]]] = {}
    for note in found["played"]["notes"]:
        by_bar.setdefault(bar_of(note), []).append(note)
    return by_bar


def bar_ends_ms(tune: Tune, bar: Bar) -> tuple[float, float]:
    """Where a bar starts and ends, on the clock its notes are timed by."""
    assert tune.tempo is not None
    length = tune.tempo.ms(bar.length, bar.metre)
    return (-length, 0.0) if bar.is_pickup else (0.0, length)


def bars_as_played(tune: Tune) -> list[tuple[Part, Bar]]:
    """Every bar in playing order, repeats unrolled."""
    return [(part, bar) for part in tune.parts for bar in part.played_bars()]


def notes_as_played(
    tune: Tune, found: dict[str, Any]
) -> list[tuple[float, tuple[int, int, int], int, dict[str, Any]]]:
    """(zero of the bar's clock, bar, index in it, note), repeats unrolled, from the start in ms."""
    by_bar, position, rows = notes_by_bar(found), 0.0, []
    for part, bar in bars_as_played(tune):
        start, end = bar_ends_ms(tune, bar)
        key = (part.number, bar.number, bar.ending)
        rows += [(position - start, key, n, note) for n, note in enumerate(by_bar.get(key, []))]
        position += end - start
    return rows


def first_neighbours(
    tune: Tune, found: dict[str, Any]
) -> Iterator[tuple[float, float, dict[str, Any], dict[str, Any]]]:
    """Each printed note and what sounds after it the first time it is played, with their clocks."""
    seen = set()
    for (zero, bar, index, note), (next_zero, _, _, after) in pairwise(
        notes_as_played(tune, found)
    ):
        if (bar, index) not in seen:
            seen.add((bar, index))
            yield zero, next_zero, note, after


def strikes(metre: Metre, beat: float, drums: Drums) -> bool:
    """True where a drum is taken to strike without a score; ``beat`` counts felt beats from 1."""
    crotchets = (Fraction(beat).limit_denominator(48) - 1) * metre.beat_length
    if drums is Drums.NONE:
        return False
    if drums is Drums.FULL:
        every = Fraction(1) if str(metre) in ("C|", "2/2") else metre.beat_length
        return crotchets % every == 0
    struck = {2: (1, 2), 4: (1, 3)}.get(metre.beats_per_bar, (1,))
    return beat in struck


Gesture = tuple[Any, ...]


def figure_places(tune: Tune) -> dict[Gesture, list[Place]]:
    """The places of each figure: the same beat with the same notes, leading to the same note."""
    order = [(part, bar, n) for part, bar in bars_as_played(tune) for n in range(len(bar.notes))]
    arrivals = {}
    for (part, bar, n), (_, next_bar, m) in pairwise([*order, order[-1]]):
        arrivals.setdefault((part.number, bar.number, bar.ending, n), _gesture(next_bar.notes[m]))
    last = order[-1]
    end = (last[0].number, last[1].number, last[1].ending, last[2])
    if order.count(last) == 1:
        arrivals[end] = None
    found: dict[Gesture, list[Place]] = {}
    for part, bar in printed_bars(tune):
        if not bar.is_pickup:
            for figure, place in _figures_of_bar(part, bar, arrivals):
                found.setdefault(figure, []).append(place)
    return found


def _figures_of_bar(part: Part, bar: Bar, arrivals: Any) -> Iterator[tuple[Gesture, Place]]:
    beat_length, onsets = bar.metre.beat_length, bar.onsets()
    for beat in range(bar.metre.beats_per_bar):
        here = [n for n, onset in enumerate(onsets) if onset // beat_length == beat]
        inside = tuple((onsets[n] - beat * beat_length, _gesture(bar.notes[n])) for n in here)
        for n in here:
            arrival = arrivals[part.number, bar.number, bar.ending, here[-1]]
            figure = (str(bar.metre), beat, inside, arrival, onsets[n])
            place = (part.number, bar.number, bar.ending, said_beat(onsets[n] / beat_length + 1))
            if not bar.notes[n].is_rest:
                yield figure, place


def _gesture(note: Note) -> tuple[Any, ...]:
    return note.pitch, note.length, note.gracenotes, note.tied_on
