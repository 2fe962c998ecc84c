"""How does a part fall into phrases and lines, and which notes open and close them?

A phrase is two bars and a line four, counted from bar 1 of the part whatever the line breaks of the
file, unless the tune says otherwise. A pick-up belongs to nothing. Endings share the bar numbers
and so the phrases of the bars they stand for.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from planner.analysis.beats import PlacedNote
from planner.music.tune import Part, Tune
from planner.rules.rulebook import RuleBook


@dataclass(frozen=True, slots=True)
class Span:
    """Bars of a part that belong together, first and last as printed."""

    first_bar: int
    last_bar: int


@dataclass(frozen=True, slots=True)
class PartShape:
    """A part's phrases and lines."""

    number: int
    phrases: tuple[Span, ...]
    lines: tuple[Span, ...]


@dataclass(frozen=True, slots=True)
class Grouping:
    """How many bars make a phrase and a line in this tune."""

    phrase_bars: int
    line_bars: int

    def phrase_of(self, bar: int) -> int:
        """Number of the phrase a bar is in, from 0 within the part; -1 for the pick-up."""
        return (bar - 1) // self.phrase_bars

    def line_of(self, bar: int) -> int:
        """Number of the line a bar is in, from 0 within the part; -1 for the pick-up."""
        return (bar - 1) // self.line_bars


def grouping_of(tune: Tune, rules: RuleBook) -> Grouping:
    """The tune's own grouping where somebody set one, else the usual."""
    return Grouping(
        tune.phrase_bars or int(rules.number("thresholds.structure.phrase")),
        tune.line_bars or int(rules.number("thresholds.structure.line")),
    )


def shape_part(part: Part, grouping: Grouping) -> PartShape:
    """Phrases and lines of one part."""
    last = max((bar.number for bar in part.full_bars), default=0)
    return PartShape(
        part.number, _spans(last, grouping.phrase_bars), _spans(last, grouping.line_bars)
    )


def _spans(last_bar: int, size: int) -> tuple[Span, ...]:
    return tuple(
        Span(first, min(first + size - 1, last_bar)) for first in range(1, last_bar + 1, size)
    )


def cadence_notes(placed: Sequence[PlacedNote], grouping: Grouping) -> frozenset[int]:
    """Indices of the cadence notes.

    A cadence note is the last note of a phrase's last bar that starts on a felt beat and lasts at
    least a beat. Common practice, no published source.
    """
    found = set()
    for _, group in groupby(placed, key=lambda note: note.bar_index):
        notes = list(group)
        bar = notes[0].bar
        closes_phrase = bar.number > 0 and bar.number % grouping.phrase_bars == 0
        if closes_phrase:
            found.update(_last_long_note(notes))
    return frozenset(found)


def _last_long_note(notes: list[PlacedNote]) -> list[int]:
    beat = notes[0].bar.metre.beat_length
    long_notes = [
        note.index
        for note in notes
        if note.is_on_beat and note.note.length >= beat and not note.note.is_rest
    ]
    return long_notes[-1:]


def phrase_rank(note: PlacedNote, grouping: Grouping, is_cadence: bool, rules: RuleBook) -> float:
    """How much the note's place in the phrase makes of it, 0 to 1: the largest that applies."""
    ranks = [rules.number("thresholds.rank.cadence")] if is_cadence else [0.0]
    if note.address.beat == 1 and note.address.bar > 0:
        ranks.append(rules.number(f"thresholds.rank.{opens(note.address.bar, grouping)}"))
    return max(ranks)


def opens(bar: int, grouping: Grouping) -> str:
    """What the first beat of this bar opens: ``part``, ``line``, ``phrase`` or just ``bar``."""
    if bar == 1:
        return "part"
    if (bar - 1) % grouping.line_bars == 0:
        return "line"
    if (bar - 1) % grouping.phrase_bars == 0:
        return "phrase"
    return "bar"
