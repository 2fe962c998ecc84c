"""What stands on the paper, bar by bar, before anybody knows where the parts begin?

Every reader fills these and leaves the making of parts to ``parts.py``. They are working
material and can change; the nouns of ``planner.music`` that come out of it cannot.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from planner.music.scale import Pitch
from planner.music.tempo import Metre
from planner.music.tune import Note

FREE_METRE = Metre(4, 4, "none")
"""Stands for ``M:none``: bars are not counted, and ``check_tune`` refuses to plan it."""


@dataclass(slots=True)
class WrittenNote:
    """A note or rest being read; ``joined`` is True when the next one was written against it.

    A ``hidden`` rest holds the place of a bar that has no notes on file.
    """

    pitch: Pitch | None
    length: Fraction
    gracenotes: tuple[Pitch, ...] = ()
    tied_on: bool = False
    tuplet: tuple[int, int] | None = None
    joined: bool = False
    hidden: bool = False

    @property
    def is_flagged(self) -> bool:
        """True for a note that is written shorter than a crotchet and so can be beamed."""
        if self.pitch is None:
            return False
        actual, normal = self.tuplet or (1, 1)
        return self.length.numerator * actual < self.length.denominator * normal


@dataclass(slots=True)
class WrittenBar:
    """A bar and the signs around it.

    ``opens`` and ``closes`` are how often a repeat beginning or ending here is played (0: no
    repeat sign). ``ending`` lists the passes when an ending begins here. ``double_after`` is a
    double or thick bar line after it, ``part_mark`` a new part named before it.
    """

    index: int
    metre: Metre
    notes: list[WrittenNote] = field(default_factory=list)
    line: int = 0
    starts_line: bool = False
    opens: int = 0
    closes: int = 0
    ending: tuple[int, ...] = ()
    double_after: bool = False
    part_mark: str = ""

    @property
    def length(self) -> Fraction:
        """What its notes add up to, in crotchets."""
        return sum((note.length for note in self.notes), Fraction(0))

    @property
    def is_short(self) -> bool:
        """True when the notes do not fill the metre."""
        return self.metre != FREE_METRE and self.length < self.metre.bar_length


def finished_notes(bar: WrittenBar) -> tuple[Note, ...]:
    """The notes of one bar for the model; beams join only notes that have flags."""
    notes = bar.notes
    if (
        notes[0].hidden
        and all(note.hidden for note in notes)
        and bar.length == bar.metre.bar_length
    ):
        return ()
    return tuple(
        Note(
            note.pitch,
            note.length,
            note.gracenotes,
            note.tied_on,
            note.tuplet,
            note.joined and note.is_flagged and following is not None and following.is_flagged,
        )
        for note, following in zip(notes, [*notes[1:], None], strict=True)
    )
