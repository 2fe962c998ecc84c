"""What have people decided about the marks of a tune? Inputs to a plan, kept by whoever asks.

A mark by hand goes before everything the engine would choose. An agreement is about one mark at one
size and tempo: when any of them changes it must be made again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from planner.licence.licence import Level
from planner.marks.marks import Mark, Move
from planner.music.drums import DrumScore
from planner.music.tune import Address, note_id


@dataclass(frozen=True, slots=True)
class ByHand:
    """A person's word on one note: make this move, or (``move`` None) leave it alone.

    ``index`` counts the printed notes of the bar from 0. ``ms`` None leaves the size to the engine.
    """

    part: int
    bar: int
    ending: int
    index: int
    move: Move | None
    ms: float | None = None
    by: str = ""

    @property
    def note_id(self) -> str:
        """Identity of the note, as on the staff."""
        return note_id(self.part, self.bar, self.ending, self.index)


@dataclass(frozen=True, slots=True)
class Agreed:
    """What pipes and drums said about one mark: ``ms`` and ``tempo_bpm`` as they were then.

    ``is_for_this`` is False where it was said for another occasion, or of other music.
    """

    address: Address
    move: Move
    ms: float
    tempo_bpm: float
    is_agreed: bool
    who: str = ""
    is_for_this: bool = True


@dataclass(frozen=True, slots=True)
class Lifted:
    """Layers a named person opens above the occasion's ceiling, with their levels, and the day."""

    levels: tuple[tuple[str, Level], ...]
    by: str
    day: date | None = None


@dataclass(frozen=True, slots=True)
class Choices:
    """Everything people have decided about one tune on one occasion."""

    by_hand: tuple[ByHand, ...] = ()
    agreements: tuple[Agreed, ...] = ()
    drum_score: DrumScore | None = None
    lifted: Lifted | None = None


NO_CHOICES = Choices()

# How much may a mark change before it must be agreed again? Design choice: less than anyone plays.
SAME_MS, SAME_BPM = 5.0, 2.0


def word_on(mark: Mark, tempo_bpm: float, agreements: Sequence[Agreed]) -> Agreed | None:
    """The latest word on just this mark: same note, move, ms to the nearest 5, tempo within 2.

    What was said for another occasion or of other music is no word on it.
    """
    spoken = [one for one in agreements if _is_same(one, mark, tempo_bpm)]
    return spoken[-1] if spoken else None


def has_changed_since(mark: Mark, tempo_bpm: float, agreements: Sequence[Agreed]) -> bool:
    """True when something was said about this note, but not about this mark as it is now."""
    about = [one for one in agreements if one.address == mark.place.address]
    return bool(about) and word_on(mark, tempo_bpm, agreements) is None


def lapsed(
    marks: Sequence[Mark], tempo_bpm: float, agreements: Sequence[Agreed]
) -> tuple[Agreed, ...]:
    """What was agreed and no mark keeps any more: the mark is gone, or is not as it was."""
    latest = {(one.address, one.move): one for one in agreements}
    words = (word_on(mark, tempo_bpm, agreements) for mark in marks)
    kept = {(word.address, word.move) for word in words if word is not None}
    return tuple(one for key, one in latest.items() if one.is_agreed and key not in kept)


def _is_same(one: Agreed, mark: Mark, tempo_bpm: float) -> bool:
    is_same_note = one.is_for_this and one.address == mark.place.address and one.move is mark.move
    is_same_size = round(one.ms / SAME_MS) == round(mark.ms / SAME_MS)
    return is_same_note and is_same_size and abs(one.tempo_bpm - tempo_bpm) <= SAME_BPM
