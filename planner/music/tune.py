"""What is a tune, as written?

A tune has parts, a part has bars, a bar has notes, a note may have gracenotes before it. Lengths
are Fractions of a crotchet after broken rhythm and triplets have been worked out, gracenotes
count for nothing. Nothing here knows how the tune is played: that is the work of later stages.

Bar numbers count full bars within a part from 1, as printed; the pick-up is bar 0. First and
second endings share their bar numbers and differ in ``ending``.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import lcm

from planner.music.scale import Pitch
from planner.music.tempo import Metre, Tempo


@dataclass(frozen=True, slots=True)
class Note:
    """One melody note, or a rest when ``pitch`` is None.

    ``length`` is in crotchets. ``gracenotes`` are the gracenotes before it, in order.
    ``tuplet`` is (actual, normal), (3, 2) for a triplet, and None outside one; ``length`` has it
    applied already. ``beamed_on`` is True when the writer joined this note to the next one.
    """

    pitch: Pitch | None
    length: Fraction
    gracenotes: tuple[Pitch, ...] = ()
    tied_on: bool = False
    tuplet: tuple[int, int] | None = None
    beamed_on: bool = False

    @property
    def is_rest(self) -> bool:
        """True for a rest."""
        return self.pitch is None


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar. ``ending`` is 0 outside endings, else 1, 2, ...; no ``notes`` when none are on file.

    ``starts_line`` is True when the writer began a new line here. ``label`` is a word over the bar.
    """

    number: int
    metre: Metre
    notes: tuple[Note, ...] = ()
    ending: int = 0
    starts_line: bool = False
    label: str = ""

    @property
    def is_pickup(self) -> bool:
        """True for the notes before bar 1."""
        return self.number == 0

    @property
    def length(self) -> Fraction:
        """Length in crotchets: the sum of its notes, or the metre's when no notes are on file."""
        if not self.notes:
            return self.metre.bar_length
        lengths = [note.length for note in self.notes]
        # Whole numbers over one denominator: adding Fractions takes several times longer.
        parts = lcm(*(length.denominator for length in lengths))
        whole = sum(length.numerator * (parts // length.denominator) for length in lengths)
        return Fraction(whole, parts)

    def onsets(self) -> tuple[Fraction, ...]:
        """Written onset of each note, in crotchets from the start of this bar."""
        positions, position = [], Fraction(0)
        for note in self.notes:
            positions.append(position)
            position += note.length
        return tuple(positions)


@dataclass(frozen=True, slots=True)
class Part:
    """A part: its bars as printed, each ending once, and how often it is played.

    ``endings`` names the passes each ending is for: ``((1,), (2,))`` for a first and a second.
    """

    number: int
    bars: tuple[Bar, ...]
    times: int = 1
    endings: tuple[tuple[int, ...], ...] = ()

    @property
    def is_repeated(self) -> bool:
        """True when the part is played more than once as printed."""
        return self.times > 1

    @property
    def pickup(self) -> Bar | None:
        """The pick-up, if the part has one."""
        return self.bars[0] if self.bars and self.bars[0].is_pickup else None

    @property
    def full_bars(self) -> tuple[Bar, ...]:
        """The printed bars without the pick-up, each ending once."""
        return tuple(bar for bar in self.bars if not bar.is_pickup)

    def bars_in_pass(self, number: int) -> Iterator[Bar]:
        """The bars played the ``number``-th time through, counted from 1."""
        for bar in self.bars:
            if bar.ending == 0 or number in self.endings[bar.ending - 1]:
                yield bar

    @property
    def passes(self) -> tuple[int, ...]:
        """The numbers of its passes, 1 to ``times``."""
        return tuple(range(1, self.times + 1))

    @property
    def every_pass(self) -> tuple[int, ...]:
        """Its passes, with those that only a tune's ``order`` plays."""
        return tuple(sorted({*self.passes, *(one for passes in self.endings for one in passes)}))

    def played_bars(self) -> Iterator[Bar]:
        """Every bar in playing order, repeats unrolled."""
        for number in self.passes:
            yield from self.bars_in_pass(number)


@dataclass(frozen=True, slots=True)
class Turn:
    """A part when its turn comes: its number, and which of its passes are played, from 1."""

    part: int
    passes: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Credits:
    """Who made and wrote down this setting; empty text where nothing is known."""

    composer: str = ""
    arranger: str = ""
    origin: str = ""
    source: str = ""
    transcriber: str = ""
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Tune:
    """A tune as read.

    ``idiom`` is a name from the rule book (``march``, ``pointed reel`` ...) or None when the file
    does not say. ``tempo`` is the file's own, if it gives one. ``phrase_bars`` and ``line_bars``
    are how many bars a phrase and a line have; None leaves it to the analysis. ``order`` is in
    which order the parts are played; empty: as printed, each with all its passes.
    ``phrase_starts`` lists, part by part, the bars in which somebody said that phrases begin.
    ``harmonies`` are further pipe voices, bar for bar beside ``parts``; only the melody is planned.
    """

    title: str
    metre: Metre
    parts: tuple[Part, ...]
    idiom: str | None = None
    tempo: Tempo | None = None
    credits: Credits = Credits()
    rhythm: str = ""
    key: str = "HP"
    phrase_bars: int | None = None
    line_bars: int | None = None
    phrase_starts: tuple[tuple[int, ...], ...] = ()
    harmonies: tuple[tuple[Part, ...], ...] = ()
    order: tuple[Turn, ...] = ()

    @property
    def has_notes(self) -> bool:
        """False for a tune entered by its outline only."""
        return any(bar.notes for part in self.parts for bar in part.bars)

    @property
    def length(self) -> Fraction:
        """Crotchets of one time through, repeats unrolled."""
        return sum((bar.length for bar in self.played_bars()), Fraction(0))

    @property
    def bars_played(self) -> int:
        """Full bars of one time through, repeats unrolled, pick-ups not counted."""
        return sum(not bar.is_pickup for bar in self.played_bars())

    @property
    def turns(self) -> tuple[Turn, ...]:
        """The parts in playing order."""
        return self.order or tuple(Turn(part.number, part.passes) for part in self.parts)

    def passes(self) -> Iterator[tuple[Part, int]]:
        """Every pass in playing order: the part, and which of its passes it is."""
        by_number = {part.number: part for part in self.parts}
        for turn in self.turns:
            for number in turn.passes:
                yield by_number[turn.part], number

    def played_bars(self) -> Iterator[Bar]:
        """Every bar of one time through in playing order, repeats unrolled."""
        for part, number in self.passes():
            yield from part.bars_in_pass(number)

    def seconds(self, tempo: Tempo) -> float:
        """Seconds of one time through at a tempo; metre changes keep the felt beat's length."""
        return sum(tempo.ms(bar.length, bar.metre) for bar in self.played_bars()) / 1000.0


@dataclass(frozen=True, slots=True, order=True)
class Address:
    """Where a note stands, in the words pipers and drummers share.

    ``part`` from 1; ``bar`` from 1 with 0 for the pick-up; ``ending`` 0, 1 or 2; ``beat`` counts
    felt beats from 1 and may be a fraction.
    """

    part: int
    bar: int
    ending: int
    beat: Fraction

    def __str__(self) -> str:
        ending = f", ending {self.ending}" if self.ending else ""
        where = "the pick-up" if self.bar == 0 else f"bar {self.bar}"
        return f"part {self.part}, {where}{ending}, beat {beat_text(self.beat)}"


@dataclass(frozen=True, slots=True)
class NotePlace:
    """One printed note: its address, its name, and its index in the bar counted from 0.

    ``note_id`` is the same on the staff, in MusicXML and in the plan.
    """

    address: Address
    note: str
    index: int

    @property
    def note_id(self) -> str:
        """Identity of the printed note, such as ``p1b3e0n2``."""
        return note_id(self.address.part, self.address.bar, self.address.ending, self.index)


def bar_id(part: int, bar: int, ending: int) -> str:
    """Identity of a printed bar: ``p1b3e0``."""
    return f"p{part}b{bar}e{ending}"


def note_id(part: int, bar: int, ending: int, index: int) -> str:
    """Identity of a printed note: ``p1b3e0n2``; its gracenotes add ``g0``, ``g1`` ..."""
    return f"{bar_id(part, bar, ending)}n{index}"


def beat_text(beat: Fraction) -> str:
    """A beat for reading: ``2``, ``1.5``, ``1.667``."""
    return f"{float(beat):.3f}".rstrip("0").rstrip(".")


def phrases_fit(starts: tuple[int, ...], part: Part) -> bool:
    """True when phrases can begin in these bars of a part: bar 1 first, rising, all there."""
    rising = all(one < other for one, other in pairwise(starts))
    last = max((bar.number for bar in part.full_bars), default=0)
    return bool(starts) and starts[0] == 1 and rising and starts[-1] <= last


def outline(title: str, metre: Metre, parts: tuple[tuple[int, int], ...], **extra: object) -> Tune:
    """A tune without notes: each part given as (bars, times played).

    >>> tune = outline("Scan only", Metre(2, 4), ((8, 2), (8, 2)))
    >>> tune.bars_played, tune.has_notes
    (32, False)
    """
    built = tuple(
        Part(number, tuple(Bar(bar + 1, metre) for bar in range(bars)), times)
        for number, (bars, times) in enumerate(parts, start=1)
    )
    return Tune(title, metre, built, **extra)  # type: ignore[arg-type]
