"""Which pitch does an ABC note stand for, with its key and the accidentals of its bar?

``C`` is the C below low A's octave break: octaves are scientific, ``A`` is A4 and ``a`` A5. An
accidental holds for the note's step in every octave to the end of the bar (ABC 2.1, 11.3).
"""

from __future__ import annotations

from functools import lru_cache
from typing import TypeGuard

from planner.music.scale import Pitch
from planner.notation.written import WrittenNote

ALTER = {"^^": 2, "^": 1, "=": 0, "_": -1, "__": -2}


class Accidentals:
    """The key signature, and what was written before notes of the bar."""

    def __init__(self, signature: dict[str, int]) -> None:
        self._signature = signature
        self._in_bar: dict[str, int] = {}

    @property
    def has_any_in_bar(self) -> bool:
        """True when an accidental was written in this bar."""
        return bool(self._in_bar)

    def clear(self) -> None:
        """Forget the accidentals at a bar line."""
        if self._in_bar:
            self._in_bar = {}

    def pitch(self, sign: str | None, letter: str, marks: str, tie: WrittenNote | None) -> Pitch:
        """The pitch of a note; it keeps the accidental of ``tie``, the note tied to it."""
        step = letter.upper()
        octave = 4 + letter.islower() + marks.count("'") - marks.count(",")
        if sign:
            self._in_bar[step] = ALTER[sign]
        elif tie is not None and step not in self._in_bar and _is_same(tie.pitch, step, octave):
            return tie.pitch
        return _pitch(step, self._in_bar.get(step, self._signature.get(step, 0)), octave)


def _is_same(pitch: Pitch | None, step: str, octave: int) -> TypeGuard[Pitch]:
    return pitch is not None and (pitch.step, pitch.octave) == (step, octave)


@lru_cache(maxsize=512)
def _pitch(step: str, alter: int, octave: int) -> Pitch:
    return Pitch(step, alter, max(-1, min(octave, 9)))
