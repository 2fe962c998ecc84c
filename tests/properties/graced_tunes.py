"""Well-formed pipe tunes by chance: parts, repeats, endings, pick-ups, metres, movements, ties.

A seed makes a tune; the strategy draws seeds, and tests that count their tunes count them up.
Movements are spelt as in the rule book, after the note they come from; now and then a bar comes
back, so that figures do, and now and then with other gracenotes on one of its notes.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from random import Random

from hypothesis import strategies as st

from planner.music.scale import CHANTER, Pitch, chanter_pitch
from planner.music.tempo import Metre, Tempo
from planner.music.tune import Bar, Note, Part, Tune
from planner.rules.load import load_rulebook

METRES = (
    Metre(2, 4), Metre(3, 4), Metre(4, 4), Metre(4, 4, "C"), Metre(6, 8), Metre(9, 8),
    Metre(12, 8), Metre(2, 2, "C|"),
)  # fmt: skip
IDIOMS = tuple(name.replace("_", " ") for name in load_rulebook().names("idioms"))
TEMPOS = (44, 56, 66, 76, 84, 96, 112, 120, 132)

#: Rhythms of one beat, in shares of it: simple and compound.
SIMPLE = ("1", "1/2 1/2", "3/4 1/4", "1/4 3/4", "1/2 1/4 1/4", "1/4 1/4 1/2", "1/4 1/4 1/4 1/4")
COMPOUND = ("1", "2/3 1/3", "1/3 2/3", "1/3 1/3 1/3", "1/2 1/6 1/3", "1/3 1/6 1/6 1/3")


@dataclass(frozen=True)
class Size:
    """How large a tune may be: parts, bars a part."""

    parts: tuple[int, ...] = (1, 1, 2)
    bars: tuple[int, ...] = (4, 4, 8)


SMALL = Size(parts=(1,), bars=(2, 3, 4, 8))
USUAL = Size()


def graced_tunes() -> st.SearchStrategy[Tune]:
    """Tunes with an idiom and a tempo; a failing one is made as short as it still fails.

    Chance is drawn as one number: drawing every note from Hypothesis takes longer than planning.
    """
    return st.builds(seeded_tune, st.integers(0, 1_000_000), st.sampled_from((SMALL, USUAL)))


@dataclass(frozen=True, repr=False)
class SeededTune(Tune):
    """A tune that says how to make it again, since its notes would fill pages."""

    seed: int = 0

    def __repr__(self) -> str:
        return f"<tune of seed {self.seed}, {len(self.parts)} part(s), {self.idiom}>"


def seeded_tune(seed: int, size: Size = USUAL) -> SeededTune:
    """The tune of a seed, the same on every machine."""
    chance = Random(seed)
    metre = chance.choice(METRES)
    writer = _Writer(chance, metre)
    parts = tuple(
        writer.part(number, chance.choice(size.bars))
        for number in range(1, chance.choice(size.parts) + 1)
    )
    tempo, idiom = Tempo(float(chance.choice(TEMPOS))), chance.choice(IDIOMS)
    return SeededTune("By chance", metre, parts, idiom=idiom, tempo=tempo, seed=seed)


class _Writer:
    """Writes bar after bar, and remembers the note it came from."""

    def __init__(self, chance: Random, metre: Metre) -> None:
        self.chance, self.metre = chance, metre
        self.before: Pitch = chance.choice(CHANTER)

    def part(self, number: int, count: int) -> Part:
        pickup = self._pickup() if self.chance.random() < 0.5 else ()
        is_short = bool(pickup) and self.chance.random() < 0.8
        taken = sum((note.length for note in pickup), Fraction(0)) if is_short else Fraction(0)
        times = self.chance.choice((1, 2, 2))
        bars = [Bar(0, self.metre, pickup)] if pickup else []
        for bar in range(1, count):
            bars.append(Bar(bar, self.metre, self._bar_or_an_earlier_one(bars)))
        has_endings = times == 2 and self.chance.random() < 0.4
        for ending in (1, 2) if has_endings else (0,):
            bars.append(Bar(count, self.metre, self._bar(taken), ending))
        return Part(number, tuple(bars), times, ((1,), (2,)) if has_endings else ())

    def _pickup(self) -> tuple[Note, ...]:
        share = Fraction(1, 3) if self.metre.is_compound else Fraction(1, 2)
        return (self._note(self.metre.beat_length * share),)

    def _bar_or_an_earlier_one(self, written: list[Bar]) -> tuple[Note, ...]:
        full = [bar for bar in written if not bar.is_pickup]
        if full and self.chance.random() < 0.4:
            notes = self.chance.choice(full).notes
            return notes if self.chance.random() < 0.7 else self._with_other_gracenotes(notes)
        return self._bar(Fraction(0))

    def _with_other_gracenotes(self, notes: tuple[Note, ...]) -> tuple[Note, ...]:
        at = self.chance.randrange(len(notes))
        before, note = notes[at - 1], notes[at]
        if at == 0 or note.pitch is None or before.pitch is None or before.tied_on:
            return notes
        self.before = before.pitch
        changed = replace(note, gracenotes=self._gracenotes(note.pitch))
        return (*notes[:at], changed, *notes[at + 1 :])

    def _bar(self, taken: Fraction) -> tuple[Note, ...]:
        """A bar, ``taken`` crotchets short."""
        notes: list[Note] = []
        left = self.metre.bar_length
        while left > 0:
            beats = 2 if self.chance.random() < 0.15 and left >= 2 * self.metre.beat_length else 1
            notes += self._beat(beats)
            left -= beats * self.metre.beat_length
        return _tied(self.chance, _shortened(notes, taken))

    def _beat(self, beats: int) -> list[Note]:
        if beats == 2:
            return [self._note(2 * self.metre.beat_length)]
        cell = self.chance.choice(COMPOUND if self.metre.is_compound else SIMPLE)
        return [self._note(Fraction(share) * self.metre.beat_length) for share in cell.split()]

    def _note(self, length: Fraction) -> Note:
        if self.chance.random() < 0.02:
            return Note(None, length)
        pitch = self.chance.choice(CHANTER)
        note = Note(pitch, length, self._gracenotes(pitch))
        self.before = pitch
        return note

    def _gracenotes(self, pitch: Pitch) -> tuple[Pitch, ...]:
        if self.chance.random() < 0.35:
            return ()
        wants_heavy = self.chance.random() < 0.5
        spellings = SPELLINGS[pitch.name, self.before.name, wants_heavy]
        if not spellings:
            return ()
        return tuple(chanter_pitch(name) for name in self.chance.choice(spellings))


def _spellings() -> dict[tuple[str, str, bool], list[tuple[str, ...]]]:
    """The rule book's spellings by note, note before, and whether they have two notes or more."""
    names = [pitch.name for pitch in CHANTER]
    found: dict[tuple[str, str, bool], list[tuple[str, ...]]] = {
        (note, before, heavy): [] for note in names for before in names for heavy in (False, True)
    }
    for rule in load_rulebook().movements:
        for note in rule.on:
            for before in rule.coming_from or names:
                if before not in rule.not_from:
                    found[note, before, len(rule.gracenotes) > 1].append(rule.gracenotes)
    return found


SPELLINGS = _spellings()


def _shortened(notes: list[Note], taken: Fraction) -> list[Note]:
    """The bar without its last ``taken`` crotchets."""
    while taken > 0:
        last = notes.pop()
        if last.length > taken:
            notes.append(replace(last, length=last.length - taken))
        taken -= last.length
    return notes


def _tied(chance: Random, notes: list[Note]) -> tuple[Note, ...]:
    """Now and then two neighbours become one sound."""
    if len(notes) > 1 and chance.random() < 0.08:
        at = chance.randrange(len(notes) - 1)
        first, second = notes[at], notes[at + 1]
        if first.pitch is not None and second.pitch is not None:
            notes[at] = replace(first, tied_on=True)
            notes[at + 1] = replace(second, pitch=first.pitch, gracenotes=())
    return tuple(notes)
