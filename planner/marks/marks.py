"""What is a mark, and what is predicted for it?

A mark says that one note is played otherwise than written on this occasion: by which move, by how
many milliseconds, and what follows from it for the ear, the drums and the players. Times are
milliseconds, later is positive.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from planner.music.tune import NotePlace


class Move(StrEnum):
    """The ways in which a piper can shape a note without loud and soft."""

    HOLD = "hold"
    TIGHTEN = "tighten"
    EARLY = "early"
    LATE = "late"
    LEAN = "lean"
    BREATHE = "breathe"


class Verdict(StrEnum):
    """What a mark, or a bar, asks of the drums."""

    STRICT = "strict"
    WATCH = "watch"
    FOLLOW = "follow"
    CONFLICT = "conflict"


class Agreement(StrEnum):
    """Where pipes and drums stand on a mark that the drums must follow."""

    NOT_NEEDED = "not needed"
    TO_BE_AGREED = "to be agreed"
    AGREED = "agreed"
    REFUSED = "refused"


@dataclass(frozen=True, slots=True)
class Audibility:
    """Will it be heard? ``ratio`` is against the musical threshold, ``lab_ratio`` the best ear."""

    ratio: float
    lab_ratio: float
    word: str


@dataclass(frozen=True, slots=True)
class Producible:
    """Can these players make it? The shift in units of their own timing scatter."""

    ratio: float
    word: str


@dataclass(frozen=True, slots=True)
class Clash:
    """Does it meet a drum stroke? Chance of a flam with the mark (p) and without it (p zero)."""

    ratio: float
    p_percent: float
    p_zero_percent: float
    word: str


@dataclass(frozen=True, slots=True)
class Mark:
    """One phrasing mark on one note.

    ``place`` is the note that gains; ``moved`` the other end of the move. ``ms`` is the shift of
    the moved onset (for tighten the gain); ``beat_fraction`` the same as a share of a felt beat.
    ``by_hand`` is True when a person set it. ``why`` is one sentence.
    """

    place: NotePlace
    move: Move
    ms: float
    beat_fraction: float
    moved: NotePlace
    audibility: Audibility
    producible: Producible
    clash: Clash
    drums: Verdict
    agreement: Agreement
    why: str
    by_hand: bool = False

    @property
    def met_at(self) -> NotePlace:
        """Where a drummer meets it: the movement that comes early, else the other end."""
        return self.place if self.move is Move.EARLY else self.moved


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A note that salience wanted and that got no mark, with what stood in the way."""

    place: NotePlace
    why: str
