"""What does a piper know of a tune at a look? Its range, the drones, what comes round again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from api.display.words import counted, join_words, sentence_start
from planner.analysis.beats import place_notes
from planner.analysis.drones import against_drones, range_of
from planner.analysis.phrases import Grouping, grouping_of
from planner.analysis.recurring import Recurrence, recurring_figures
from planner.analysis.structure import PhraseShape, phrase_shapes, structure_findings
from planner.findings import Finding
from planner.music.tune import Address, Tune
from planner.rules.rulebook import RuleBook

MOST_FIGURES = 8
"""How many figures are worth a line? The rest is counted."""


@dataclass(frozen=True, slots=True)
class FigureView:
    """A figure that comes round again: its notes, where, and where with other gracenotes."""

    notes: str
    where: str
    alike: str


@dataclass(frozen=True, slots=True)
class TuneFacts:
    """Everything the analysis tells of a tune beside its movements."""

    range: str = ""
    drones: tuple[str, ...] = ()
    phrases: tuple[str, ...] = ()
    figures: tuple[FigureView, ...] = ()
    more_figures: str = ""
    findings: tuple[Finding, ...] = ()
    harmony: str = ""


def tune_facts(tune: Tune | None, rules: RuleBook) -> TuneFacts:
    """What the page of a tune tells of its music; little for a tune without notes."""
    if tune is None:
        return TuneFacts()
    notes, grouping = place_notes(tune), grouping_of(tune, rules)
    figures = recurring_figures(notes)
    others = len(figures) - MOST_FIGURES
    return TuneFacts(
        range=_range(tune),
        drones=_drones(tune),
        phrases=tuple(_phrases(phrase_shapes(tune, notes, grouping), grouping)),
        figures=tuple(map(_figure, figures[:MOST_FIGURES])),
        more_figures=_more(others),
        findings=tuple(structure_findings(tune, notes, grouping)),
        harmony=_harmony(len(tune.harmonies)),
    )


def _harmony(count: int) -> str:
    if not count:
        return ""
    voices = counted(count, "further pipe voice")
    verb = "is" if count == 1 else "are"
    return sentence_start(f"{voices} {verb} kept as harmony; the plan is the melody's.")


def _more(others: int) -> str:
    if others <= 0:
        return ""
    verb = "comes" if others == 1 else "come"
    return sentence_start(f"{counted(others, 'more figure')} {verb} round again.")


def _range(tune: Tune) -> str:
    found = range_of(tune)
    if found is None:
        return ""
    never = f", without {join_words(found.never)}" if found.never else ""
    return f"From {found.lowest} to {found.highest}{never}."


def _drones(tune: Tune) -> tuple[str, ...]:
    return tuple(
        f"{sentence_start(one.note)}: {one.interval}, {'concord' if one.is_concord else 'clash'}, "
        f"{_percent(one.share)} of the time."
        for one in against_drones(tune)
    )


def _percent(share: float) -> str:
    return f"{round(100 * share)} %" if share >= 0.005 else "less than 1 %"


def _phrases(shapes: Sequence[PhraseShape], grouping: Grouping) -> list[str]:
    """The phrases that come round again, each with the first one it is like."""
    lines = []
    for shape in shapes:
        if shape.like is None:
            continue
        here = _bars(shape.part, shape.first_bar, shape.ending, grouping)
        there = _bars(*shape.like, grouping)
        share = f"{round(100 * shape.likeness)} % of the notes as in"
        how = "the melody of" if shape.likeness == 1 else share
        lines.append(f"{sentence_start(here)}: {how} {there}.")
    return lines


def _bars(part: int, first: int, ending: int, grouping: Grouping) -> str:
    last = grouping.phrase_around(part, first).last_bar
    bars = f"bars {first} to {last}" if last > first else f"bar {first}"
    return f"part {part}, {bars}{f', ending {ending}' if ending else ''}"


def _figure(one: Recurrence) -> FigureView:
    """Of one that always has the same gracenotes nothing is said of others."""
    return FigureView(
        notes=sentence_start(", ".join(one.notes)),
        where=sentence_start(_places((one.first, *one.equal))),
        alike=f"Other gracenotes in {_places(one.alike)}" if one.alike else "",
    )


def _places(places: Sequence[Address]) -> str:
    """``part 1, bar 5; part 2, bars 4 and 8``."""
    by_part: dict[int, list[str]] = {}
    for at in places:
        names = by_part.setdefault(at.part, [])
        name = str(at.bar) if at.bar else "0"
        if name not in names:
            names.append(name)
    return "; ".join(f"part {part}, {_bar_words(names)}" for part, names in by_part.items())


def _bar_words(names: Sequence[str]) -> str:
    bars = [name for name in names if name != "0"]
    words = f"{'bar' if len(bars) == 1 else 'bars'} {join_words(bars)}" if bars else ""
    pickup = "the pick-up" if "0" in names else ""
    return " and ".join(filter(None, (pickup, words)))
