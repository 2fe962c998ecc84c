"""What does a learner need? Larger type, the note on every beat, where to drop out and come back.

Who keeps the note of every beat in mind can come back in after a slip: the notes between follow.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby

from api.display.paper.outs import OUT, MySetView, OutsCardView, my_set, outs_card_view
from api.display.planned import PlannedEntry, PlannedEvent, PlannedSet
from api.display.words import (
    beats_a_minute,
    metre_words,
    parts_played,
    played_words,
    sentence_start,
    start_words,
    stop_words,
    tempo_words,
    times_through,
    version_words,
)
from planner.analysis.beats import PlacedNote
from planner.event.event import Entry, Person
from planner.music.tune import Part

BARS_A_ROW = 4
STILL = "–"  # the note of the beat before goes on


@dataclass(frozen=True, slots=True)
class BeatRowView:
    """A few bars: each its number and the note on every beat."""

    label: str
    bars: tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True, slots=True)
class LearnerTuneView:
    """One tune that the learner plays."""

    set_name: str
    number: str
    title: str
    facts: str
    tempo: str
    tempo_unit: str
    mine: str
    change: str
    start: str
    stop: str
    opening: str
    rows: tuple[BeatRowView, ...]
    no_notes: str = ""


@dataclass(frozen=True, slots=True)
class LearnerCardView:
    """The learner's card of an event: an overview, and a page for each tune they play."""

    event: str
    occasion: str
    reader: str
    overview: OutsCardView
    tunes: tuple[LearnerTuneView, ...]
    version: str


def learner_card_view(
    planned: PlannedEvent, reader: Person, openings: Mapping[Entry, str]
) -> LearnerCardView:
    """The learner's card; ``openings`` has the picture of the first bars by entry."""
    tunes = [
        _tune(planned, played, index, reader, openings)
        for played in planned.sets
        for index in range(len(played.entries))
    ]
    return LearnerCardView(
        event=planned.event.name,
        occasion=sentence_start(planned.event.setting.occasion.words),
        reader=reader.name,
        overview=outs_card_view(planned, reader),
        tunes=tuple(tune for tune in tunes if tune.mine != OUT),
        version=version_words(planned.event.version, planned.made_at),
    )


def _tune(
    planned: PlannedEvent,
    played: PlannedSet,
    index: int,
    reader: Person,
    openings: Mapping[Entry, str],
) -> LearnerTuneView:
    each = played.entries[index]
    mine: MySetView = my_set(played, planned.line_up, reader)
    return LearnerTuneView(
        set_name=mine.name,
        number=mine.tunes[index].number,
        title=each.tune.title,
        facts=_facts(each),
        tempo=tempo_words(each.plan.analysis.tempo.bpm),
        tempo_unit=beats_a_minute([each.tune.metre]),
        mine=mine.tunes[index].mine,
        change=mine.tunes[index].change,
        start=start_words(each.entry),
        stop=stop_words(each.entry),
        opening=openings.get(each.entry, ""),
        rows=beat_rows(each),
        no_notes="" if each.tune.has_notes else "No notes on file: learn this one by ear.",
    )


def _facts(each: PlannedEntry) -> str:
    facts = (
        each.plan.analysis.idiom,
        metre_words(each.tune.metre),
        parts_played(each.entry, len(each.tune.parts)),
        times_through(each.entry.times_through),
    )
    return sentence_start(" · ".join(facts))


def beat_rows(each: PlannedEntry) -> tuple[BeatRowView, ...]:
    """The note on every beat, bar by bar, a few bars a row; a repeat is said beside its part."""
    notes = each.plan.analysis.notes
    wanted = each.entry.parts or tuple(part.number for part in each.tune.parts)
    rows: list[BeatRowView] = []
    for part in each.tune.parts:
        if part.number in wanted and each.tune.has_notes:
            own = [note for note in notes if note.address.part == part.number]
            rows += _part_rows(part, own)
    if each.link is not None:
        linked = _part_rows(each.link.tune.parts[0], each.link.analysis.notes)
        rows += [replace(row, label="Link" if row.label else "") for row in linked]
    return tuple(rows)


def _part_rows(part: Part, notes: Sequence[PlacedNote]) -> list[BeatRowView]:
    bars = [
        (_bar_words(list(found)), _beat_notes(part, key, notes))
        for key, found in groupby(
            (note for note in notes if not note.bar.is_pickup), key=lambda note: note.bar_index
        )
    ]
    label = f"Part {part.number}, {played_words(part.times)}"
    return [
        BeatRowView(label if start == 0 else "", tuple(bars[start : start + BARS_A_ROW]))
        for start in range(0, len(bars), BARS_A_ROW)
    ]


def _bar_words(notes: Sequence[PlacedNote]) -> str:
    bar = notes[0].bar
    return f"{bar.number}, ending {bar.ending}" if bar.ending else str(bar.number)


def _beat_notes(part: Part, bar_index: int, notes: Sequence[PlacedNote]) -> tuple[str, ...]:
    own = [note for note in notes if note.bar_index == bar_index]
    metre = own[0].bar.metre
    beats = int(metre.bar_length / metre.beat_length)
    return tuple(_note_on(own, beat * metre.beat_length) for beat in range(beats))


def _note_on(notes: Sequence[PlacedNote], position: Fraction) -> str:
    sounding = [note for note in notes if note.onset <= position < note.end]
    if not sounding:
        return STILL
    if sounding[0].onset < position:
        return STILL
    pitch = sounding[0].note.pitch
    return pitch.name if pitch else "rest"
