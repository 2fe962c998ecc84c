"""Which notes stand out?

``S = .25 metre + .20 duration + .20 contour + .25 phrase + .10 drone``, each 0 to 1, weights in the
rule book. Published models of this kind explain less than half of what listeners say: salience is a
suggestion, and the pipe-major overrules it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from planner.analysis.beats import PlacedNote
from planner.analysis.phrases import Grouping, phrase_rank
from planner.music.tempo import Tempo
from planner.music.tune import Tune
from planner.rules.rulebook import RuleBook

# How much of an accent falls on this note and how much is carried to the next, by the two steps
# around it? Source: thomassen_1982, as the open library music21 has the table.
THOMASSEN = {
    (1, -1): (0.83, 0.17),
    (-1, 1): (0.71, 0.29),
    (1, 1): (0.33, 0.67),
    (-1, -1): (0.5, 0.5),
    (0, 1): (0.0, 1.0),
    (0, -1): (0.0, 1.0),
    (1, 0): (1.0, 0.0),
    (-1, 0): (1.0, 0.0),
    (0, 0): (0.0, 0.0),
}


@dataclass(frozen=True, slots=True)
class Salience:
    """How much a note stands out, and from what: each 0 to 1, ``total`` the weighted sum."""

    metre: float
    duration: float
    contour: float
    phrase: float
    drone: float
    total: float


def weigh_notes(
    placed: Sequence[PlacedNote],
    lengths_ms: Sequence[float],
    cadences: frozenset[int],
    grouping: Grouping,
    contour: Sequence[float],
    rules: RuleBook,
) -> tuple[Salience, ...]:
    """The salience of every printed note; ``lengths_ms`` are written lengths after pointing."""
    weights = {
        name: rules.number(f"thresholds.salience.{name}")
        for name in ("metre", "duration", "contour", "phrase", "drone")
    }
    found = []
    for note, length_ms, accent in zip(placed, lengths_ms, contour, strict=True):
        is_cadence = note.index in cadences
        terms = {
            "metre": note.strength,
            "duration": duration_accent(length_ms, rules),
            "contour": accent,
            "phrase": phrase_rank(note, grouping, is_cadence, rules),
            "drone": drone_accent(note.place.note, is_cadence, rules),
        }
        total = sum(weights[name] * value for name, value in terms.items())
        found.append(Salience(**terms, total=total))
    return tuple(found)


def duration_accent(length_ms: float, rules: RuleBook) -> float:
    """Accent from the length of a note: ``(1 - exp(-IOI / 500))^2``. Source: parncutt_1994."""
    ioi = min(length_ms, rules.number("thresholds.audibility.longest_ioi"))
    saturation = rules.number("thresholds.salience.duration_constant")
    power = rules.number("thresholds.salience.duration_power")
    return float((1.0 - math.exp(-ioi / saturation)) ** power)


def drone_accent(note_name: str, is_cadence: bool, rules: RuleBook) -> float:
    """Tension of a note against the drones; at a cadence it is rest that counts, not tension."""
    rule = rules.find(f"thresholds.drone.{note_name.lower().replace(' ', '_')}")
    if rule is None:
        return 0.0
    tension = float(rule.value)  # type: ignore[arg-type]
    return 1.0 - tension if is_cadence else tension


def contour_accents(tune: Tune, placed: Sequence[PlacedNote]) -> tuple[float, ...]:
    """Melodic accent of each printed note, from its first time in the tune as played.

    Source: thomassen_1982.
    """
    sequence = [index for index in _played_order(tune, placed) if placed[index].note.pitch]
    pitches = [placed[index].note.pitch.midi for index in sequence]  # type: ignore[union-attr]
    accents = [0.0] * len(placed)
    seen: set[int] = set()
    for index, accent in zip(sequence, melodic_accents(pitches), strict=True):
        if index not in seen:
            seen.add(index)
            accents[index] = accent
    return tuple(accents)


def melodic_accents(pitches: Sequence[int]) -> list[float]:
    """Thomassen's accent of each of a row of pitches (any unit that rises with pitch).

    >>> [round(a, 4) for a in melodic_accents([60, 60, 60, 62, 64, 62, 62])]
    [1.0, 0.0, 0.0, 0.33, 0.5561, 0.17, 0.0]
    """
    if not pitches:
        return []
    accents, carried = [1.0], 1.0
    for before, here, after in zip(pitches, pitches[1:], pitches[2:], strict=False):
        this_accent, next_accent = THOMASSEN[_sign(here - before), _sign(after - here)]
        accents.append(this_accent * carried)
        carried = next_accent
    if len(pitches) > 1:
        accents.append(carried)
    return accents


def _sign(step: int) -> int:
    return (step > 0) - (step < 0)


def _played_order(tune: Tune, placed: Sequence[PlacedNote]) -> list[int]:
    by_bar: dict[tuple[int, int, int], list[int]] = {}
    for note in placed:
        address = note.address
        by_bar.setdefault((address.part, address.bar, address.ending), []).append(note.index)
    return [
        index
        for part in tune.parts
        for number in part.every_pass
        for bar in part.bars_in_pass(number)
        for index in by_bar.get((part.number, bar.number, bar.ending), [])
    ]


def written_ms(placed: Sequence[PlacedNote], tempo: Tempo) -> tuple[float, ...]:
    """Length of each note in milliseconds as written, before any pointing."""
    return tuple(tempo.ms(note.note.length, note.bar.metre) for note in placed)
