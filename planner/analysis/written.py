"""How long is each note before any mark is made?

The idiom's pointing is laid over the written lengths, movements take their milliseconds from the
note before the beat and the note they decorate, and corners that are too tight are eased. What
comes out is the unmarked music in time; marks are measured against it.

Conventions: milliseconds; one entry for each printed note, in printed order; onsets count from the
start of a full bar of the note's own metre, a pick-up's are negative, counted back from its bar
line. ``beat_index`` is the number of a movement's gracenotes before the beat.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from planner.analysis.beats import PlacedNote
from planner.music.tempo import Tempo
from planner.rules.rulebook import RuleBook

WRITTEN_PAIR = Fraction(3)  # a dotted pair is written three to one


@dataclass(frozen=True, slots=True)
class WrittenTime:
    """The unmarked music in milliseconds.

    ``gracenote_ms`` is the length of one gracenote of the note's movement. ``bar_start_ms`` and
    ``bar_end_ms`` are the ends of the note's bar. ``tight`` are the notes whose corner had to be
    eased: they never pay for a mark.
    """

    onset_ms: tuple[float, ...]
    length_ms: tuple[float, ...]
    bar_start_ms: tuple[float, ...]
    bar_end_ms: tuple[float, ...]
    beat_index: tuple[int, ...]
    gracenotes: tuple[int, ...]
    gracenote_ms: tuple[float, ...]
    tight: frozenset[int]
    bare_minimum_ms: float
    usual_gracenote_ms: float

    def minimum_ms(self, index: int, next_beat_index: int, beat_index: int | None = None) -> float:
        """Least length of a note: a bare short note and the gracenotes it must make room for."""
        own = self.beat_index[index] if beat_index is None else beat_index
        room = (self.gracenotes[index] - own) + next_beat_index
        return self.bare_minimum_ms + self.usual_gracenote_ms * room


def time_written(
    placed: Sequence[PlacedNote],
    default_beat_index: Sequence[int],
    tempo: Tempo,
    pointing: float,
    rules: RuleBook,
) -> WrittenTime:
    """The unmarked music of a tune at a tempo; ``pointing`` is the ratio of a dotted pair."""
    gracenote_ms = rules.number("thresholds.gracenote.length")
    bare = rules.number("thresholds.note.bare_minimum")
    gracenotes = tuple(len(note.note.gracenotes) for note in placed)
    length_ms = _point(placed, default_beat_index, tempo, pointing, (bare, gracenote_ms))
    eased = _Easing(placed, length_ms, list(default_beat_index), gracenotes, gracenote_ms, bare)
    eased.run(shortest_ms=rules.number("thresholds.gracenote.shortest"))
    edges = _bar_edges(placed, tempo)
    return WrittenTime(
        onset_ms=_onsets(placed, length_ms, edges),
        length_ms=tuple(length_ms),
        bar_start_ms=tuple(edges[note.bar_index][0] for note in placed),
        bar_end_ms=tuple(edges[note.bar_index][1] for note in placed),
        beat_index=tuple(eased.beat_index),
        gracenotes=gracenotes,
        gracenote_ms=tuple(eased.gracenote_ms),
        tight=frozenset(eased.tight),
        bare_minimum_ms=bare,
        usual_gracenote_ms=gracenote_ms,
    )


def _bar_edges(placed: Sequence[PlacedNote], tempo: Tempo) -> dict[int, tuple[float, float]]:
    """Start and end of each bar in ms, by bar index: a pick-up ends at 0, others start there."""
    edges: dict[int, tuple[float, float]] = {}
    for note in placed:
        if note.bar_index not in edges:
            length = tempo.ms(note.bar.length, note.bar.metre)
            edges[note.bar_index] = (-length, 0.0) if note.bar.is_pickup else (0.0, length)
    return edges


def _onsets(
    placed: Sequence[PlacedNote],
    length_ms: Sequence[float],
    edges: Mapping[int, tuple[float, float]],
) -> tuple[float, ...]:
    onsets: list[float] = []
    bar_index, position = -1, 0.0
    for note, length in zip(placed, length_ms, strict=True):
        if note.bar_index != bar_index:
            bar_index = note.bar_index
            position = edges[bar_index][0]
        onsets.append(position)
        position += length
    return tuple(onsets)


def _point(
    placed: Sequence[PlacedNote],
    beat_index: Sequence[int],
    tempo: Tempo,
    pointing: float,
    minimum: tuple[float, float],
) -> list[float]:
    """Written lengths in ms, dotted and cut pairs drawn apart to the idiom's ratio.

    A short note keeps its minimum, but is never lengthened beyond what is written.
    """
    lengths = [tempo.ms(note.note.length, note.bar.metre) for note in placed]
    if pointing <= WRITTEN_PAIR:
        return lengths
    bare, gracenote_ms = minimum
    for first, second in pairwise(placed):
        if not is_pair(first, second):
            continue
        is_dotted = first.note.length > second.note.length
        short, long = (second, first) if is_dotted else (first, second)
        after = max((beat_index[index] for index in short.followers), default=0)
        own = len(short.note.gracenotes) - beat_index[short.index]
        least = min(bare + gracenote_ms * (own + after), lengths[short.index])
        total = lengths[short.index] + lengths[long.index]
        lengths[short.index] = max(total / (pointing + 1.0), least)
        lengths[long.index] = total - lengths[short.index]
    return lengths


def is_pair(first: PlacedNote, second: PlacedNote) -> bool:
    """True for a dotted or cut pair inside one beat, standing square on its own length."""
    if first.bar_index != second.bar_index or first.note.tuplet or second.note.tuplet:
        return False
    if first.note.is_rest or second.note.is_rest:
        return False
    total = first.note.length + second.note.length
    ratio = first.note.length / second.note.length
    beat = first.bar.metre.beat_length
    is_square = first.onset % beat % total == 0 and total <= beat
    return is_square and ratio in (WRITTEN_PAIR, 1 / WRITTEN_PAIR)


class _Easing:
    """Eases corners that are too tight: first the next movement comes later, then shorter."""

    def __init__(
        self,
        placed: Sequence[PlacedNote],
        length_ms: Sequence[float],
        beat_index: list[int],
        gracenotes: Sequence[int],
        gracenote_ms: float,
        bare_minimum_ms: float,
    ) -> None:
        self.placed, self.length_ms, self.gracenotes = placed, length_ms, gracenotes
        self.beat_index = beat_index
        self.gracenote_ms = [gracenote_ms] * len(placed)
        self.bare_minimum_ms = bare_minimum_ms
        self.tight: set[int] = set()

    def run(self, shortest_ms: float) -> None:
        """Ease until nothing changes; a repeat may lead back to an earlier note."""
        before: object = None
        while before != (tuple(self.beat_index), len(self.tight)):
            before = (tuple(self.beat_index), len(self.tight))
            for note in self.placed:
                if not note.note.is_rest:
                    self._ease(note, shortest_ms)

    def _ease(self, note: PlacedNote, shortest_ms: float) -> None:
        if self._shortfall(note) <= 0:
            return
        self.tight.add(note.index)
        while self._shortfall(note) > 0 and (late := self._latest_follower(note)) is not None:
            self.beat_index[late] -= 1
        if self._shortfall(note) > 0 and self.gracenotes[note.index]:
            self.gracenote_ms[note.index] = min(shortest_ms, self._even_share(note))

    def _even_share(self, note: PlacedNote) -> float:
        """What each gracenote after the beat gets where the note is to sound as long as one.

        Faster than anybody plays, it is still in order: no sound ends before it starts.
        """
        after_beat = self.gracenotes[note.index] - self.beat_index[note.index]
        return (self.length_ms[note.index] - self._reach(note)) / (after_beat + 1)

    def _latest_follower(self, note: PlacedNote) -> int | None:
        """The follower that reaches furthest back into this note, if any does."""
        reaching = [index for index in note.followers if self.beat_index[index] > 0]
        return max(reaching, key=lambda index: self.beat_index[index], default=None)

    def _shortfall(self, note: PlacedNote) -> float:
        index = note.index
        own = (self.gracenotes[index] - self.beat_index[index]) * self.gracenote_ms[index]
        return self.bare_minimum_ms + own + self._reach(note) - self.length_ms[index]

    def _reach(self, note: PlacedNote) -> float:
        """How far the movements of what comes next reach back into this note."""
        return max((self.beat_index[n] * self.gracenote_ms[n] for n in note.followers), default=0.0)
