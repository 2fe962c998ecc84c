"""Are there too many marks? Told in numbers, not in opinion.

Marks are few, or the tempo sounds out of hand. Two figures say how far a plan is from that: the
share of notes that are not played at their written length, and how far the beats of each bar stand
from even, as a standard deviation in percent of a beat.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from itertools import pairwise

from planner.analysis.analyse import TuneAnalysis
from planner.analysis.beats import PlacedNote
from planner.findings import Finding
from planner.marks.played import NO_CHANGE, Change, PlayedNote
from planner.rules.rulebook import RuleBook

BarPlace = tuple[int, int, int]

# From what difference is a note's length counted as changed? Far below anything audible.
SMALLEST_CHANGE_MS = 0.5
# Sums of fractions of a millisecond are not exact: below this, beats are even.
EVEN_PERCENT = 1e-6


@dataclass(frozen=True, slots=True)
class Strain:
    """How much a plan bends the written time.

    ``share_off_written`` is 0 to 1. ``uneven`` are the bars (part, bar, ending) whose beats are not
    as long as each other, loosest first, with their scatter in percent of a beat.
    """

    share_off_written: float
    uneven: tuple[tuple[BarPlace, float], ...] = ()

    @property
    def worst_bar(self) -> BarPlace | None:
        """The bar whose beats scatter most; None where all are even."""
        return self.uneven[0][0] if self.uneven else None

    @property
    def worst_bar_percent(self) -> float:
        """The scatter of that bar, in percent of a beat."""
        return self.uneven[0][1] if self.uneven else 0.0


def strain_of(
    analysis: TuneAnalysis,
    unmarked: Sequence[PlayedNote],
    played: Sequence[PlayedNote],
    change: Change = NO_CHANGE,
) -> Strain:
    """The strain of a played list against the same tune without marks; ``change`` made it so."""
    sounded = [note for note in analysis.notes if not note.note.is_rest]
    changed = [
        note.index
        for note in sounded
        if abs(played[note.index].sounding_length_ms - unmarked[note.index].sounding_length_ms)
        > SMALLEST_CHANGE_MS
    ]
    scatter = beat_scatter(analysis, played, change)
    uneven = [(place, percent) for place, percent in scatter.items() if percent > EVEN_PERCENT]
    return Strain(
        share_off_written=len(changed) / len(sounded) if sounded else 0.0,
        uneven=tuple(sorted(uneven, key=lambda each: (-each[1], each[0]))),
    )


def beat_scatter(
    analysis: TuneAnalysis, played: Sequence[PlayedNote], change: Change = NO_CHANGE
) -> dict[BarPlace, float]:
    """For each bar, the scatter of the lengths of its beats, in percent of a beat.

    Only beats on which a note starts can be timed, and the last one ends where the bar does; a bar
    with one such beat has no scatter. ``change`` is what the marks do: a breath makes a bar longer.
    """
    on_beat: dict[BarPlace, list[tuple[float, float]]] = defaultdict(list)
    last: dict[BarPlace, PlacedNote] = {}
    for note in analysis.notes:
        address = note.address
        if note.is_on_beat and address.bar > 0:
            place = (address.part, address.bar, address.ending)
            on_beat[place].append((float(note.beat_number), played[note.index].onset_ms))
            last[place] = note
    beat_ms = analysis.tempo.beat_ms
    return {
        place: 100.0
        * _scatter(_beat_lengths([*points, _bar_end(analysis, last[place], change)]))
        / beat_ms
        for place, points in on_beat.items()
        if len(points) > 1
    }


def _bar_end(analysis: TuneAnalysis, note: PlacedNote, change: Change) -> tuple[float, float]:
    """Where the note's bar ends: in felt beats from 1, and in ms."""
    beats = float(note.bar.length / note.bar.metre.beat_length)
    growth_ms = change.growth_ms.get(note.bar_index, 0.0)
    return beats + 1.0, analysis.written.bar_end_ms[note.index] + growth_ms


def _scatter(lengths: Sequence[float]) -> float:
    """Standard deviation of a few lengths; the library's is exact, but slow for every bar."""
    mean = sum(lengths) / len(lengths)
    return math.sqrt(sum((length - mean) ** 2 for length in lengths) / len(lengths))


def _beat_lengths(points: Sequence[tuple[float, float]]) -> list[float]:
    return [
        (later_ms - earlier_ms) / (later - earlier)
        for (earlier, earlier_ms), (later, later_ms) in pairwise(points)
    ]


def strain_findings(
    strain: Strain, by_hand: AbstractSet[BarPlace], rules: RuleBook
) -> list[Finding]:
    """What to say of a plan in which people have bent the time too much.

    ``by_hand`` are the bars in which a mark by hand moves something: the engine keeps to its own
    budget, so only those are told.
    """
    if not by_hand:
        return []
    found = []
    most = rules.number("thresholds.strain.most_notes")
    if strain.share_off_written > most:
        text = f"{strain.share_off_written:.0%} of the notes are off their written length"
        found.append(Finding("over_marked", f"{text}; more than {most:.0%} sounds out of hand"))
    widest = rules.number("thresholds.strain.widest_scatter")
    for (part, bar, ending), percent in strain.uneven:
        if (part, bar, ending) in by_hand and percent > widest:
            text = f"the beats of the bar scatter by {percent:.1f} % of a beat"
            told = f"{text}; beyond {widest:g} % they no longer sound even"
            found.append(Finding("tempo_unsteady", told, f"part {part}, bar {bar}"))
            break
    return found
