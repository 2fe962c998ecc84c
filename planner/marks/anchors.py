"""Where does a drum strike?

With a drum score, where it says so. Without one the usual is assumed: a full corps on every felt
beat (in cut time on every crotchet), a bass drum on the strong beats, and with no drums nothing.
Positions are crotchets from the start of a full bar.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from planner.analysis.beats import PlacedNote
from planner.event.event import Drums
from planner.music.drums import DrumBar, DrumScore, DrumVoice
from planner.music.tempo import Metre


@dataclass(frozen=True, slots=True)
class Anchors:
    """The struck onsets of a tune."""

    drums: Drums
    score: DrumScore | None = None

    def is_struck(self, note: PlacedNote) -> bool:
        """True when a drum strikes at this note's written onset."""
        if self.drums is Drums.NONE:
            return False
        written = self._written(note)
        if written:
            return any(note.onset in bar.strokes for bar in written)
        return note.onset % _grid(note.bar.metre, self.drums) == 0

    def is_in_roll(self, note: PlacedNote) -> bool:
        """True when a drum rolls through this note's written onset."""
        return any(bar.is_in_roll(note.onset) for bar in self._written(note))

    def _written(self, note: PlacedNote) -> tuple[DrumBar, ...]:
        """What the playing voices have for the note's bar; empty when it was not entered."""
        if self.score is None or self.drums is Drums.NONE:
            return ()
        address = note.address
        voices = tuple(DrumVoice) if self.drums is Drums.FULL else (DrumVoice.BASS,)
        return self.score.bars_at((address.part, address.bar, address.ending), voices)


def _grid(metre: Metre, drums: Drums) -> Fraction:
    """Distance between assumed strokes, in crotchets."""
    if drums is Drums.FULL:
        is_cut_time = metre.unit == 2 and not metre.is_compound
        return Fraction(1) if is_cut_time else metre.beat_length
    is_halved = metre.beats_per_bar == 4
    return metre.beat_length * 2 if is_halved else _bass_grid(metre)


def _bass_grid(metre: Metre) -> Fraction:
    return metre.beat_length if metre.beats_per_bar == 2 else metre.bar_length
