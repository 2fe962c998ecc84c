"""When does every sound of a whole set fall, from its introduction to its last note?

The tunes follow each other as planned, each at its own tempo and with its own marks, so many times
through, with the links and silences between them. The new tempo holds from the next tune's pick-up
on. Milliseconds from the start of the introduction, during which the pipes are silent.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from planner.marks.unrolled import HeardNote, HeardSound, sounds_of
from planner.plan import TunePlan

Pass = tuple[int, int]
"""A part by its number, and which time through that part it is."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A tune as a set plays it: ``times`` through, ``earlier`` being every time but the last.

    ``link`` leads to the next tune, then comes the silence; both are left out after the last tune.
    """

    key: str
    plan: TunePlan
    times: int
    earlier: tuple[Pass, ...]
    link: TunePlan | None = None
    pause_ms: float = 0.0


@dataclass(frozen=True, slots=True)
class NoteInSet:
    """One note as heard: in which tune of the set (from 1), and which time through it.

    ``time_through`` is 0 in the bars that link a tune to the next.
    """

    entry: int
    time_through: int
    heard: HeardNote


@dataclass(frozen=True, slots=True)
class TuneInSet:
    """Where a tune of the set starts, and at which tempo it goes from there."""

    entry: int
    key: str
    start_ms: float
    tempo_bpm: float


@dataclass(frozen=True, slots=True)
class PlayedSet:
    """Every note of a set in order, every sound, and where each tune and tempo begins."""

    notes: tuple[NoteInSet, ...]
    sounds: tuple[HeardSound, ...]
    tunes: tuple[TuneInSet, ...]
    length_ms: float


@dataclass(frozen=True, slots=True)
class _Stretch:
    """A plan played once from a point in time on."""

    entry: int
    time_through: int
    plan: TunePlan
    start_ms: float
    heard: tuple[HeardNote, ...]


def play_set(pieces: Sequence[Piece], introduction_ms: float = 0.0) -> PlayedSet:
    """The tunes of a set one after the other.

    A note stops where the next movement starts, also across a join; before a silence it has its
    written length.
    """
    stretches: list[_Stretch] = []
    tunes: list[TuneInSet] = []
    position = introduction_ms
    for entry, piece in enumerate(pieces, start=1):
        tunes.append(TuneInSet(entry, piece.key, position, piece.plan.analysis.tempo.bpm))
        for time_through, plan, passes in _rounds(piece, is_last=entry == len(pieces)):
            heard, length_ms = plan.played_through(passes)
            stretches.append(_Stretch(entry, time_through, plan, position, heard))
            position += length_ms
        position += piece.pause_ms if entry < len(pieces) else 0.0
    notes = _cut_short([note for stretch in stretches for note in _placed(stretch)])
    return PlayedSet(tuple(notes), tuple(_sounds(stretches, notes)), tuple(tunes), position)


def _rounds(
    piece: Piece, *, is_last: bool
) -> Iterator[tuple[int, TunePlan, tuple[Pass, ...] | None]]:
    """Each time through with its plan and its passes, and last the link to what comes next."""
    for number in range(1, piece.times):
        yield number, piece.plan, piece.earlier
    yield max(1, piece.times), piece.plan, None
    if piece.link is not None and not is_last:
        yield 0, piece.link, None


def _placed(stretch: _Stretch) -> Iterator[NoteInSet]:
    """The notes of a stretch on the clock of the set."""
    for heard in stretch.heard:
        later = replace(
            heard,
            movement_start_ms=heard.movement_start_ms + stretch.start_ms,
            sounding_ms=heard.sounding_ms + stretch.start_ms,
            end_ms=heard.end_ms + stretch.start_ms,
        )
        yield NoteInSet(stretch.entry, stretch.time_through, later)


def _cut_short(notes: list[NoteInSet]) -> list[NoteInSet]:
    """Notes that end where the next movement starts, if that reaches back into them."""
    cut = [
        replace(note, heard=replace(note.heard, end_ms=after.heard.movement_start_ms))
        if after.heard.movement_start_ms < note.heard.end_ms
        else note
        for note, after in pairwise(notes)
    ]
    return [*cut, *notes[-1:]]


def _sounds(stretches: Sequence[_Stretch], notes: Sequence[NoteInSet]) -> Iterator[HeardSound]:
    position = 0
    for stretch in stretches:
        here = notes[position : position + len(stretch.heard)]
        position += len(stretch.heard)
        yield from sounds_of(stretch.plan.analysis, tuple(note.heard for note in here))
