"""What differs between two plans of the same tune, in data and in words?

Used for one tune on two occasions side by side, and for what has changed since the last print.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, replace

from planner.licence.licence import Layers
from planner.marks.marks import Mark
from planner.plan import TunePlan

SAME_MS = 1.0  # nobody plays a difference below a millisecond


@dataclass(frozen=True, slots=True)
class ChangedMark:
    """A note that is marked in both plans, but not alike."""

    before: Mark
    after: Mark


@dataclass(frozen=True, slots=True)
class Comparison:
    """The differences from one plan to another; ``words`` tells them a sentence each."""

    layers: tuple[tuple[str, str, str], ...]
    only_before: tuple[Mark, ...]
    only_after: tuple[Mark, ...]
    changed: tuple[ChangedMark, ...]
    drums: tuple[str, str] | None
    tempo: tuple[float, float] | None
    words: tuple[str, ...]

    @property
    def is_same(self) -> bool:
        """True when nothing differs."""
        return not self.words


def compare_plans(before: TunePlan, after: TunePlan) -> Comparison:
    """What is different in ``after``, seen from ``before``."""
    marks_before = {mark.place.note_id: mark for mark in before.marks}
    marks_after = {mark.place.note_id: mark for mark in after.marks}
    layers = tuple(_layers(before, after))
    tempo_before, tempo_after = before.analysis.tempo.bpm, after.analysis.tempo.bpm
    found = Comparison(
        layers=layers,
        only_before=tuple(m for key, m in marks_before.items() if key not in marks_after),
        only_after=tuple(m for key, m in marks_after.items() if key not in marks_before),
        changed=tuple(
            ChangedMark(mark, marks_after[key])
            for key, mark in marks_before.items()
            if key in marks_after and not _is_alike(mark, marks_after[key])
        ),
        drums=_if_different(before.drums.tempo.value, after.drums.tempo.value),
        tempo=(tempo_before, tempo_after) if tempo_before != tempo_after else None,
        words=(),
    )
    return replace(found, words=tuple(_words(found)))


def _layers(before: TunePlan, after: TunePlan) -> Iterator[tuple[str, str, str]]:
    for field in fields(Layers):
        level_before = getattr(before.licence.layers, field.name)
        level_after = getattr(after.licence.layers, field.name)
        if level_before != level_after:
            yield field.name.replace("_", " "), level_before.value, level_after.value


def _if_different(before: str, after: str) -> tuple[str, str] | None:
    return (before, after) if before != after else None


def _is_alike(one: Mark, other: Mark) -> bool:
    is_same_move = (one.move, one.drums, one.agreement) == (
        other.move,
        other.drums,
        other.agreement,
    )
    return is_same_move and abs(one.ms - other.ms) < SAME_MS


def _words(found: Comparison) -> Iterator[str]:
    for layer, before, after in found.layers:
        yield f"{layer}: {after} instead of {before}"
    if found.tempo:
        yield f"tempo {found.tempo[1]:g} instead of {found.tempo[0]:g}"
    if found.drums:
        yield f"drums {found.drums[1]} instead of {found.drums[0]}"
    for mark in found.only_after:
        yield f"new: {_mark_words(mark)}"
    for mark in found.only_before:
        yield f"gone: {_mark_words(mark)}"
    for pair in found.changed:
        yield f"changed: {_mark_words(pair.after)}, before {_move_words(pair.before)}"


def _mark_words(mark: Mark) -> str:
    return f"{_move_words(mark)} on {mark.place.note}, {mark.place.address}"


def _move_words(mark: Mark) -> str:
    return f"{mark.move} {mark.ms:+.0f} ms ({mark.drums})"
