"""Which nine notes does the chanter have, and what are they called?

A written pitch is kept as the file says it (step, alteration, octave), so that a note off the
chanter can be named in a message. ``chanter_name`` answers with one of the nine names, or None.
"""

from __future__ import annotations

from dataclasses import dataclass

NATURAL_SEMITONES = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
ALTERATION_WORDS = {-2: " double flat", -1: " flat", 0: "", 1: " sharp", 2: " double sharp"}


@dataclass(frozen=True, slots=True)
class Pitch:
    """A pitch as written for the chanter: low A is A4, whatever the chanter sounds.

    ``alter`` is in semitones (1 = sharp), key signature applied; ``octave`` is scientific.
    """

    step: str
    alter: int
    octave: int

    @property
    def midi(self) -> int:
        """MIDI note number of the written pitch (low A = 69)."""
        return 12 * (self.octave + 1) + NATURAL_SEMITONES[self.step] + self.alter

    @property
    def chanter_name(self) -> str | None:
        """One of the nine names, or None for a pitch the chanter does not have."""
        return _NAME_BY_PITCH.get(self)

    @property
    def name(self) -> str:
        """The chanter's name for it, else the pitch in words, such as ``C natural (octave 5)``."""
        if self.chanter_name is not None:
            return self.chanter_name
        natural = " natural" if self.alter == 0 and self.step in "CF" else ""
        return f"{self.step}{natural}{ALTERATION_WORDS.get(self.alter, '')} (octave {self.octave})"


LOW_G = Pitch("G", 0, 4)
LOW_A = Pitch("A", 0, 4)
B = Pitch("B", 0, 4)
C = Pitch("C", 1, 5)
D = Pitch("D", 0, 5)
E = Pitch("E", 0, 5)
F = Pitch("F", 1, 5)
HIGH_G = Pitch("G", 0, 5)
HIGH_A = Pitch("A", 0, 5)

#: The nine notes from the bottom up. C and F sound sharp and are written without accidentals.
CHANTER = (LOW_G, LOW_A, B, C, D, E, F, HIGH_G, HIGH_A)
CHANTER_NAMES = ("low G", "low A", "B", "C", "D", "E", "F", "high G", "high A")

_NAME_BY_PITCH = dict(zip(CHANTER, CHANTER_NAMES, strict=True))
_PITCH_BY_NAME = dict(zip(CHANTER_NAMES, CHANTER, strict=True))


def chanter_pitch(name: str) -> Pitch:
    """The pitch of one of the nine names.

    Raises:
        KeyError: ``name`` is not one of the nine.
    """
    return _PITCH_BY_NAME[name]
