"""Where does the tune's tonal centre lie?

The durations of the nine notes are correlated with the published profiles of major and minor keys,
for the keys whose notes the chanter has. The drones sound A whatever the tune does, and the scale
never changes, so durations alone leave doubt: the notes the parts close on count besides.

Source: krumhansl_kessler_1982 (profiles), duration weighting after Krumhansl and Schmuckler; the
weight of the closing notes is a design choice.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from planner.music.scale import Pitch
from planner.music.tune import Part, Tune
from planner.rules.rulebook import RuleBook

MAJOR = (6.35, 2.23, 3.48, 2.33, 4.38, 4.09, 2.52, 5.19, 2.39, 3.66, 2.29, 2.88)
MINOR = (6.33, 2.68, 3.52, 5.38, 2.60, 3.53, 2.54, 4.75, 3.98, 2.69, 3.34, 3.17)

#: Which keys can a chanter settle in? Pitch class of the tonic (C = 0), profile.
CENTRES = {
    "A": (9, MAJOR),
    "D": (2, MAJOR),
    "G": (7, MAJOR),
    "B minor": (11, MINOR),
    "E minor": (4, MINOR),
    "F sharp minor": (6, MINOR),
}


def tonal_centre(tune: Tune, rules: RuleBook) -> str:
    """The most likely tonal centre in words, empty for a tune without notes."""
    weights = pitch_class_weights(tune)
    if not any(weights):
        return ""
    closing = closing_shares(tune)
    weight = rules.number("thresholds.tonal.closing_weight")
    return max(
        CENTRES,
        key=lambda centre: centre_fit(weights, centre) + weight * closing[CENTRES[centre][0]],
    )


def closing_shares(tune: Tune) -> list[float]:
    """For each pitch class, the share of parts that close on it."""
    closing = [0.0] * 12
    last = [note for part in tune.parts if (note := _last_note(part)) is not None]
    for pitch in last:
        closing[pitch.midi % 12] += 1.0 / len(last)
    return closing


def _last_note(part: Part) -> Pitch | None:
    pitches = [note.pitch for bar in part.bars for note in bar.notes if note.pitch is not None]
    return pitches[-1] if pitches else None


def centre_fit(weights: Sequence[float], centre: str) -> float:
    """Correlation (-1 to 1) of twelve pitch-class weights with a centre's profile."""
    tonic, profile = CENTRES[centre]
    rotated = [profile[(pitch_class - tonic) % 12] for pitch_class in range(12)]
    return _correlation(weights, rotated)


def pitch_class_weights(tune: Tune) -> list[float]:
    """Crotchets spent on each of the twelve pitch classes, C first, as printed."""
    weights = [0.0] * 12
    for part in tune.parts:
        for bar in part.bars:
            for note in bar.notes:
                if note.pitch is not None:
                    weights[note.pitch.midi % 12] += float(note.length)
    return weights


def _correlation(left: Sequence[float], right: Sequence[float]) -> float:
    left_mean, right_mean = sum(left) / len(left), sum(right) / len(right)
    left_off = [value - left_mean for value in left]
    right_off = [value - right_mean for value in right]
    scale = math.sqrt(sum(v * v for v in left_off) * sum(v * v for v in right_off))
    if scale == 0.0:
        return 0.0
    return sum(a * b for a, b in zip(left_off, right_off, strict=True)) / scale
