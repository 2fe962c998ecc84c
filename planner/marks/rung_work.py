"""What does a band below rung 4 practise on this tune, instead of pulses?

Control comes before colour. Rung 1 works on a steady beat with the metronome, rung 2 on dots and
cuts at full contrast, rung 3 on short notes joined into the movement beside them. Each rung needs
the one below it. Common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from planner.analysis.analyse import TuneAnalysis
from planner.analysis.beats import PlacedNote
from planner.analysis.written import is_pair
from planner.music.tune import NotePlace
from planner.rules.rulebook import RuleBook


@dataclass(frozen=True, slots=True)
class MetronomeStep:
    """One step of a metronome plan: felt beats a minute, and how often cleanly before the next."""

    tempo_bpm: float
    times: int


@dataclass(frozen=True, slots=True)
class Pair:
    """A dotted or cut pair: the ratio of long to short as written and as the idiom wants it.

    ``place`` and ``after`` are its two notes in order; ``short_ms`` is how long the short one is
    to be, movement included.
    """

    place: NotePlace
    after: NotePlace
    is_cut: bool
    written_ratio: float
    wanted_ratio: float
    short_ms: float


@dataclass(frozen=True, slots=True)
class Join:
    """A short note that can be taken into the movement after it."""

    place: NotePlace
    movement: str
    into: NotePlace


@dataclass(frozen=True, slots=True)
class RungWork:
    """The work of one rung on one tune; only the list of that rung is filled."""

    rung: int
    what: str
    metronome: tuple[MetronomeStep, ...] = ()
    pairs: tuple[Pair, ...] = ()
    joins: tuple[Join, ...] = ()


def work_for_rung(rung: int, analysis: TuneAnalysis, rules: RuleBook) -> RungWork | None:
    """The practice of a rung on this tune; None from rung 4 on."""
    if rung not in (1, 2, 3):
        return None
    what = rules.word(f"practice.rung_{rung}.what")
    if rung == 1:
        return RungWork(rung, what, metronome=metronome_plan(analysis.tempo.bpm, rules))
    if rung == 2:
        return RungWork(rung, what, pairs=tuple(_pairs(analysis)))
    return RungWork(rung, what, joins=tuple(_joins(analysis, rules)))


def metronome_plan(tempo_bpm: float, rules: RuleBook) -> tuple[MetronomeStep, ...]:
    """From a slow start to the tempo itself, a step at a time.

    >>> from planner.rules.load import load_rulebook
    >>> [step.tempo_bpm for step in metronome_plan(80.0, load_rulebook())]
    [56.0, 64.0, 72.0, 80.0]
    """
    first = rules.number("practice.rung_1.first_share")
    step = rules.number("practice.rung_1.step_share")
    times = int(rules.number("practice.rung_1.clean_times"))
    count = max(0, round((1.0 - first) / step))
    shares = [1.0 - step * left for left in range(count, -1, -1)]
    return tuple(MetronomeStep(round(tempo_bpm * share, 1), times) for share in shares)


def _pairs(analysis: TuneAnalysis) -> Iterator[Pair]:
    written = analysis.written
    for first, second in pairwise(analysis.notes):
        if is_pair(first, second):
            is_cut = first.note.length < second.note.length
            short, long = (first, second) if is_cut else (second, first)
            yield Pair(
                place=first.place,
                after=second.place,
                is_cut=is_cut,
                written_ratio=float(long.note.length / short.note.length),
                wanted_ratio=written.length_ms[long.index] / written.length_ms[short.index],
                short_ms=written.length_ms[short.index],
            )


def _joins(analysis: TuneAnalysis, rules: RuleBook) -> Iterator[Join]:
    fewest = int(rules.number("practice.rung_3.fewest_gracenotes"))
    for first, second in pairwise(analysis.notes):
        is_short = is_pair(first, second) and second.note.length < first.note.length
        if is_short and second.follower is not None:
            join = _join(analysis, second, analysis.notes[second.follower], fewest)
            if join is not None:
                yield join


def _join(analysis: TuneAnalysis, short: PlacedNote, after: PlacedNote, fewest: int) -> Join | None:
    movement = analysis.movements[after.index]
    if movement is None or len(movement.gracenotes) < fewest:
        return None
    return Join(short.place, movement.name, after.place)
