"""How long is each note of a bar as it is written, and as it is played? In milliseconds.

Written means with the idiom's pointing and before any mark. A note is as long as it sounds, and the
gracenotes before it are told apart, so that together they fill the bar. Whoever sounds shorter than
written has paid for somebody's hold.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from api.display.marks import done_words
from api.display.planned_tune import size_words
from api.display.words import bar_name, join_words, sentence, sentence_start
from planner.marks.marks import Mark
from planner.marks.played import PlayedNote, play
from planner.music.tune import Address, beat_text
from planner.plan import TunePlan

LEAST_MS = 0.5
"""What is less than this is as written: far below anything audible."""


@dataclass(frozen=True, slots=True)
class Timed:
    """A note in one of the two rows, in milliseconds from the start of its bar.

    ``onset_ms`` is its beat point; its gracenotes begin at ``start_ms``, the note itself sounds
    from ``sounding_ms`` to ``end_ms``.
    """

    onset_ms: float
    start_ms: float
    sounding_ms: float
    end_ms: float

    @property
    def length_ms(self) -> float:
        """How long the note sounds."""
        return self.end_ms - self.sounding_ms


@dataclass(frozen=True, slots=True)
class NoteHere:
    """A note of the bar, written and played; ``beat`` in felt beats from 1."""

    name: str
    beat: str
    is_on_beat: bool
    written: Timed
    played: Timed

    @property
    def later_ms(self) -> float:
        """How much later than written its beat point is, negative when earlier."""
        return self.played.onset_ms - self.written.onset_ms

    @property
    def gracenotes_later_ms(self) -> float:
        """How much later its gracenotes begin."""
        return self.played.start_ms - self.written.start_ms

    @property
    def gracenotes_longer_ms(self) -> float:
        """How much longer its gracenotes take together, negative when they are tighter."""
        written, played = self.written, self.played
        return (played.sounding_ms - played.start_ms) - (written.sounding_ms - written.start_ms)

    @property
    def longer_ms(self) -> float:
        """How much longer than written it sounds, negative when it pays."""
        return self.played.length_ms - self.written.length_ms

    @property
    def look(self) -> str:
        """How its played block looks."""
        if abs(self.longer_ms) < LEAST_MS:
            return "note"
        return "longer" if self.longer_ms > 0 else "pays"


@dataclass(frozen=True, slots=True)
class BarHere:
    """One bar: its notes, its edges and the length of a felt beat, in milliseconds.

    ``end_ms`` is the bar line as written, ``played_end_ms`` as played: later only after a breath.
    """

    name: str
    notes: tuple[NoteHere, ...]
    start_ms: float
    end_ms: float
    played_end_ms: float
    beat_ms: float
    marks: tuple[Mark, ...] = ()

    @property
    def beats_ms(self) -> tuple[float, ...]:
        """Where the written beats lie, counted from the start of a full bar."""
        first = round(self.start_ms / self.beat_ms)
        count = round((self.end_ms - self.start_ms) / self.beat_ms)
        return tuple(self.beat_ms * (first + at) for at in range(max(1, count)))


def bar_here(plan: TunePlan, wanted: tuple[int, ...]) -> BarHere | None:
    """One bar of a plan by part, bar and ending; None where it has no notes."""
    unmarked, written = play(plan.analysis), plan.analysis.written
    here = [n.index for n in plan.analysis.notes if bar_of(n.address) == wanted]
    if not here:
        return None
    first = plan.analysis.notes[here[0]]
    grown = plan.change.growth_ms.get(first.bar_index, 0.0)
    return BarHere(
        name=bar_words(first.address),
        notes=tuple(
            NoteHere(
                name=note.place.note,
                beat=beat_text(note.address.beat),
                is_on_beat=note.is_on_beat,
                written=_timed(unmarked[note.index]),
                played=_timed(plan.played[note.index]),
            )
            for note in (plan.analysis.notes[index] for index in here)
        ),
        start_ms=written.bar_start_ms[first.index],
        end_ms=written.bar_end_ms[first.index],
        played_end_ms=written.bar_end_ms[first.index] + grown,
        beat_ms=plan.analysis.tempo.beat_ms,
        marks=tuple(mark for mark in plan.marks if bar_of(mark.place.address) == wanted),
    )


def _timed(note: PlayedNote) -> Timed:
    return Timed(
        onset_ms=note.onset_ms,
        start_ms=note.movement_start_ms,
        sounding_ms=note.sounding_ms,
        end_ms=note.sounding_ms + note.sounding_length_ms,
    )


def bar_of(address: Address) -> tuple[int, ...]:
    """Part, bar and ending."""
    return address.part, address.bar, address.ending


def bar_words(address: Address) -> str:
    """``Part 1, bar 8 (ending 1)``."""
    bar = f"bar {bar_name(address)}" if address.bar else "the pick-up"
    return f"Part {address.part}, {bar}"


def told_of(bar: BarHere) -> Iterator[str]:
    """The bar, what is done in it and every note, in sentences."""
    yield f"{bar.name}: {_ms(bar.end_ms - bar.start_ms)} as written, a beat {_ms(bar.beat_ms)}."
    if bar.played_end_ms - bar.end_ms >= LEAST_MS:
        yield f"It is played {_ms(bar.played_end_ms - bar.end_ms)} longer."
    for mark in bar.marks:
        yield sentence(sentence_start(f"{done_words(mark)}, {size_words(mark)}"))
    for note in bar.notes:
        written, played = note.written, note.played
        yield (
            f"Beat {note.beat}, {note.name}: written from {_ms(written.onset_ms)} for "
            f"{_ms(written.length_ms)}, played from {_ms(played.onset_ms)} for "
            f"{_ms(played.length_ms)}{_difference(note)}."
        )


def _ms(amount: float) -> str:
    return f"{round(amount)} ms"


def _difference(note: NoteHere) -> str:
    moved = shift_words(note).removeprefix(f"{note.name} ")
    told = [moved] if moved else []
    if abs(note.longer_ms) >= LEAST_MS:
        longer = "longer" if note.longer_ms > 0 else "shorter: it pays"
        told.append(f"{_ms(abs(note.longer_ms))} {longer}")
    return f"; {join_words(told)}" if told else ""


def _shift(ms: float) -> str:
    return f"{_ms(abs(ms))} {'later' if ms > 0 else 'earlier'}"


def shift_words(note: NoteHere) -> str:
    """What is done to a note: to its beat point, else to its gracenotes."""
    if abs(note.later_ms) >= LEAST_MS:
        return f"{note.name} {_shift(note.later_ms)}"
    if abs(note.gracenotes_longer_ms) >= LEAST_MS:
        longer = "longer" if note.gracenotes_longer_ms > 0 else "shorter"
        return f"gracenotes {_ms(abs(note.gracenotes_longer_ms))} {longer}"
    if abs(note.gracenotes_later_ms) >= LEAST_MS:
        return f"gracenotes {_shift(note.gracenotes_later_ms)}"
    return ""
