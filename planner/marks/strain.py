"""Are there too many marks? Told in numbers, not in opinion.

Marks are few, or the tempo sounds out of hand. Two figures say how far a plan is from that: the
share of notes that are not played at their written length, and how far the beats of each bar stand
from even, as a standard deviation in percent of a beat.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import pstdev

from planner.analysis.analyse import TuneAnalysis
from planner.findings import Finding
from planner.marks.played import PlayedNote
from planner.rules.rulebook import RuleBook

BarPlace = tuple[int, int, int]

# From what difference is a note's length counted as changed? Far below anything audible.
SMALLEST_CHANGE_MS = 0.5


@dataclass(frozen=True, slots=True)
class Strain:
    """How much a plan bends the written time.

    ``share_off_written`` is 0 to 1; ``worst_bar_percent`` the largest scatter of the beats in any
    bar, in percent of a beat, and ``worst_bar`` that bar (part, bar, ending), None if all are even.
    """

    share_off_written: float
    worst_bar_percent: float
    worst_bar: BarPlace | None


def strain_of(
    analysis: TuneAnalysis, unmarked: Sequence[PlayedNote], played: Sequence[PlayedNote]
) -> Strain:
    """The strain of a played list against the same tune without marks."""
    sounded = [note for note in analysis.notes if not note.note.is_rest]
    changed = [
        note.index
        for note in sounded
        if abs(played[note.index].sounding_length_ms - unmarked[note.index].sounding_length_ms)
        > SMALLEST_CHANGE_MS
    ]
    scatter = beat_scatter(analysis, played)
    worst = max(scatter, key=lambda place: scatter[place], default=None)
    worst_percent = scatter[worst] if worst else 0.0
    return Strain(
        share_off_written=len(changed) / len(sounded) if sounded else 0.0,
        worst_bar_percent=worst_percent,
        worst_bar=worst if worst_percent > 0.0 else None,
    )


def beat_scatter(analysis: TuneAnalysis, played: Sequence[PlayedNote]) -> dict[BarPlace, float]:
    """For each bar, the scatter of the lengths of its beats, in percent of a beat.

    Only beats on which a note starts can be timed; a bar with fewer than two has none.
    """
    on_beat: dict[BarPlace, list[tuple[int, float]]] = defaultdict(list)
    for note in analysis.notes:
        address = note.address
        if note.is_on_beat and address.bar > 0:
            place = (address.part, address.bar, address.ending)
            on_beat[place].append((note.beat_number, played[note.index].onset_ms))
    beat_ms = analysis.tempo.beat_ms
    return {
        place: 100.0 * pstdev(_beat_lengths(points)) / beat_ms
        for place, points in on_beat.items()
        if len(points) > 2
    }


def _beat_lengths(points: Sequence[tuple[int, float]]) -> list[float]:
    return [
        (later_ms - earlier_ms) / (later - earlier)
        for (earlier, earlier_ms), (later, later_ms) in pairwise(points)
    ]


def strain_findings(strain: Strain, rules: RuleBook) -> list[Finding]:
    """What to say of a plan in which people have bent the time too much.

    The engine keeps to its own budget, so only plans with marks by hand are told.
    """
    found = []
    most = rules.number("thresholds.strain.most_notes")
    if strain.share_off_written > most:
        text = f"{strain.share_off_written:.0%} of the notes are off their written length"
        found.append(Finding("over_marked", f"{text}; more than {most:.0%} sounds out of hand"))
    widest = rules.number("thresholds.strain.widest_scatter")
    if strain.worst_bar is not None and strain.worst_bar_percent > widest:
        part, bar, _ = strain.worst_bar
        text = f"the beats of the bar scatter by {strain.worst_bar_percent:.1f} % of a beat"
        where = f"part {part}, bar {bar}"
        found.append(Finding("tempo_unsteady", f"{text}; dancers need {widest:g} %", where))
    return found
