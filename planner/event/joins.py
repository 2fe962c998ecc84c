"""Will this join run smoothly, and does the next tune lift?

A join is looked at from both sides: tempo, metre, beat unit, tonal centre, last note and first
note. Points of unlikeness make it smooth, workable, or a join to be drilled; tonal centre and tempo
say whether it lifts. This is advice with its reasons, never a verdict. The tonal centre is given:
hearing it out of the notes is not done here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from planner.event.amounts import plain, positive
from planner.findings import Reason
from planner.music.scale import Pitch
from planner.music.tempo import Metre
from planner.music.tune import Tune
from planner.rules.rulebook import RuleBook

Weighed = tuple[float, Reason]


class Smoothness(StrEnum):
    """How easily a join runs."""

    SMOOTH = "smooth"
    WORKABLE = "workable"
    DRILL = "to be drilled"


class Lift(StrEnum):
    """What the next tune does to the listener."""

    LIFT = "lift"
    EVEN = "even"
    FLAT = "flat"


@dataclass(frozen=True, slots=True)
class Neighbour:
    """A tune as its neighbours meet it. ``tonal_centre`` is a word such as ``A`` or ``B minor``.

    ``cue`` is who cues the join that follows it, in the band's own words.
    """

    title: str
    metre: Metre
    tempo_bpm: float
    tonal_centre: str = ""
    first_note: Pitch | None = None
    last_note: Pitch | None = None
    cue: str = ""


@dataclass(frozen=True, slots=True)
class Join:
    """Advice on one join. ``tempo_change`` is a share: 0.05 means 5 % quicker."""

    before: str
    after: str
    smoothness: Smoothness
    lift: Lift
    tempo_change: float
    reasons: tuple[Reason, ...]
    leaving: Neighbour
    coming: Neighbour


def judge_joins(neighbours: Sequence[Neighbour], rulebook: RuleBook) -> tuple[Join, ...]:
    """The advice on every join of a set, in order."""
    return tuple(judge_join(before, after, rulebook) for before, after in pairwise(neighbours))


def judge_join(before: Neighbour, after: Neighbour, rulebook: RuleBook) -> Join:
    """How smoothly one tune goes into the next, whether it lifts, and why.

    Raises:
        RequestError: a tempo that is not above zero.
    """
    change = _tempo_change(before, after)
    unlike = [
        *_tempo_points(change, rulebook),
        *_metre_points(before.metre, after.metre, rulebook),
        *_leap_points(before.last_note, after.first_note, rulebook),
    ]
    points = sum(weight for weight, _ in unlike)
    lift, lift_reasons = _lift(before, after, change, rulebook)
    return Join(
        before=before.title,
        after=after.title,
        smoothness=_smoothness(points, rulebook),
        lift=lift,
        tempo_change=change,
        reasons=(*(reason for _, reason in unlike), *lift_reasons),
        leaving=before,
        coming=after,
    )


def neighbour(
    tune: Tune,
    tempo_bpm: float,
    tonal_centre: str = "",
    link: Tune | None = None,
    cue: str = "",
) -> Neighbour:
    """A tune as its neighbours meet it: its first and last sounding notes as played.

    After a ``link`` the next tune meets the link's last note.
    """
    notes = [note for bar in tune.played_bars() for note in bar.notes if note.pitch is not None]
    return Neighbour(
        title=tune.title,
        metre=tune.metre,
        tempo_bpm=tempo_bpm,
        tonal_centre=tonal_centre,
        first_note=notes[0].pitch if notes else None,
        last_note=_last_note(link) or (notes[-1].pitch if notes else None),
        cue=cue,
    )


def _last_note(link: Tune | None) -> Pitch | None:
    bars = link.played_bars() if link else ()
    return next((note.pitch for bar in reversed([*bars]) for note in reversed(bar.notes)), None)


def _tempo_change(before: Neighbour, after: Neighbour) -> float:
    example = "felt beats a minute, such as 86"
    change = positive("tempo", after.tempo_bpm, example) / positive(
        "tempo", before.tempo_bpm, example
    )
    return float(change - 1)


def _tempo_points(change: float, rulebook: RuleBook) -> list[Weighed]:
    if abs(change) <= rulebook.number("joins.smooth.same_tempo"):
        return []
    words = f"the tempo changes by {plain(round(100 * change, 1))} %"
    small = rulebook["joins.smooth.small_step"]
    if abs(change) <= rulebook.number(small.key):
        return [(rulebook.number("joins.weight.tempo") / 2, small.reason(f"{words}: {small.why}"))]
    return [(rulebook.number("joins.weight.tempo"), small.reason(words))]


def _metre_points(before: Metre, after: Metre, rulebook: RuleBook) -> list[Weighed]:
    points = []
    if (before.count, before.unit) != (after.count, after.unit):
        rule = rulebook["joins.weight.metre"]
        points.append(
            (rulebook.number(rule.key), rule.reason(f"{before.words} goes into {after.words}"))
        )
    if before.beat_length != after.beat_length:
        rule = rulebook["joins.weight.beat_unit"]
        words = f"the beat changes from {before.beat_unit} to {after.beat_unit}"
        points.append((rulebook.number(rule.key), rule.reason(words)))
    return points


def _leap_points(last: Pitch | None, first: Pitch | None, rulebook: RuleBook) -> list[Weighed]:
    widest = rulebook["joins.smooth.widest_leap"]
    if last is None or first is None:
        return []
    if abs(first.midi - last.midi) <= rulebook.number(widest.key):
        return []
    words = f"{last.name} to {first.name}: {widest.why}"
    return [(rulebook.number("joins.weight.leap"), widest.reason(words))]


def _smoothness(points: float, rulebook: RuleBook) -> Smoothness:
    if points >= rulebook.number("joins.weight.drilled"):
        return Smoothness.DRILL
    return Smoothness.WORKABLE if points else Smoothness.SMOOTH


def _lift(
    before: Neighbour, after: Neighbour, change: float, rulebook: RuleBook
) -> tuple[Lift, list[Reason]]:
    is_known = bool(before.tonal_centre and after.tonal_centre)
    step = f"{before.tonal_centre} to {after.tonal_centre}"
    lifting = rulebook["joins.lift.lifting"]
    if is_known and isinstance(lifting.value, tuple) and step in lifting.value:
        return Lift.LIFT, [lifting.reason(f"{step}: {lifting.why}")]
    if change > rulebook.number("joins.smooth.same_tempo"):
        return Lift.LIFT, [rulebook["joins.lift.quicker"].reason()]
    if is_known and before.tonal_centre == after.tonal_centre:
        return Lift.FLAT, [rulebook["joins.lift.same_centre"].reason()]
    return Lift.EVEN, []
