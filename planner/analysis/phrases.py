"""How does a part fall into phrases and lines, and which notes open and close them?

A phrase is two bars and a line four, counted from bar 1 of the part whatever the line breaks of the
file, unless the tune says otherwise or somebody set by hand where the phrases of a part begin. A
pick-up belongs to nothing. Endings share the bar numbers
and so the phrases of the bars they stand for.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from planner.analysis.beats import PlacedNote
from planner.music.tune import Address, Part, Tune
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
    """How many bars make a phrase and a line in this tune.

    ``by_hand`` holds, part by part, the first bars of the phrases that somebody set and the bar
    after the last; empty for a part that keeps to the usual. A line there is as many phrases as
    otherwise.
    """

    phrase_bars: int
    line_bars: int
    by_hand: tuple[tuple[int, ...], ...] = ()

    def phrase_of(self, part: int, bar: int) -> int:
        """Number of the phrase a bar is in, from 0 within the part; -1 for the pick-up."""
        edges = self._edges(part)
        return bisect_right(edges, bar) - 1 if edges else (bar - 1) // self.phrase_bars

    def line_of(self, part: int, bar: int) -> int:
        """Number of the line a bar is in, from 0 within the part; -1 for the pick-up."""
        if not self._edges(part):
            return (bar - 1) // self.line_bars
        return self.phrase_of(part, bar) // max(1, self.line_bars // self.phrase_bars)

    def phrase_around(self, part: int, bar: int) -> Span:
        """First and last bar of the phrase a bar is in, whether the part has so many or not."""
        edges, number = self._edges(part), self.phrase_of(part, bar)
        if edges:
            return Span(edges[number], edges[number + 1] - 1)
        first = number * self.phrase_bars + 1
        return Span(first, first + self.phrase_bars - 1)

    def closes_phrase(self, part: int, bar: int) -> bool:
        """True for the last bar of a whole phrase."""
        return bar > 0 and self.phrase_around(part, bar).last_bar == bar

    def is_set_by_hand(self, part: int) -> bool:
        """True where somebody said where the phrases of this part begin."""
        return bool(self._edges(part))

    def _edges(self, part: int) -> tuple[int, ...]:
        return self.by_hand[part - 1] if part <= len(self.by_hand) else ()


def grouping_of(tune: Tune, rules: RuleBook) -> Grouping:
    """The tune's own grouping where somebody set one, else the usual."""
    return Grouping(
        tune.phrase_bars or int(rules.number("thresholds.structure.phrase")),
        tune.line_bars or int(rules.number("thresholds.structure.line")),
        _by_hand(tune),
    )


def _by_hand(tune: Tune) -> tuple[tuple[int, ...], ...]:
    """The phrases set by hand by the part's number: a set may leave parts of a tune out."""
    edges = {
        part.number: (*starts, _last_bar(part) + 1) if starts else ()
        for part, starts in zip(tune.parts, tune.phrase_starts, strict=False)
    }
    return tuple(edges.get(number, ()) for number in range(1, max(edges, default=0) + 1))


def shape_part(part: Part, grouping: Grouping) -> PartShape:
    """Phrases and lines of one part."""
    bars = range(1, _last_bar(part) + 1)
    return PartShape(
        part.number,
        _spans((grouping.phrase_of(part.number, bar), bar) for bar in bars),
        _spans((grouping.line_of(part.number, bar), bar) for bar in bars),
    )


def _last_bar(part: Part) -> int:
    return max((bar.number for bar in part.full_bars), default=0)


def _spans(numbered: Iterable[tuple[int, int]]) -> tuple[Span, ...]:
    groups = [[bar for _, bar in group] for _, group in groupby(numbered, key=lambda each: each[0])]
    return tuple(Span(bars[0], bars[-1]) for bars in groups)


def cadence_notes(placed: Sequence[PlacedNote], grouping: Grouping) -> frozenset[int]:
    """Indices of the cadence notes.

    A cadence note is the last note of a phrase's last bar that starts on a felt beat and lasts at
    least a beat. Common practice, no published source.
    """
    found = set()
    for _, group in groupby(placed, key=lambda note: note.bar_index):
        notes = list(group)
        if grouping.closes_phrase(notes[0].address.part, notes[0].bar.number):
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
        ranks.append(rules.number(f"thresholds.rank.{opens(note.address, grouping)}"))
    return max(ranks)


def opens(address: Address, grouping: Grouping) -> str:
    """What the first beat of this bar opens: ``part``, ``line``, ``phrase`` or just ``bar``."""
    part, bar = address.part, address.bar
    if bar == 1:
        return "part"
    if grouping.line_of(part, bar) != grouping.line_of(part, bar - 1):
        return "line"
    if grouping.phrase_of(part, bar) != grouping.phrase_of(part, bar - 1):
        return "phrase"
    return "bar"
