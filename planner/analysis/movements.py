"""What is each group of gracenotes called, and where does it sit on the beat?

A group is named by the whole of its spelling, the melody note it stands on and the melody note it
comes from. The table of spellings is rule data (``movements.toml``). A group the table does not
hold, or whose family no cited source names, is an unnamed movement, shown as its gracenotes in
words: nothing is ever guessed. Notes are compared by the nine names of the chanter, so C and
C sharp are one note.

How long a movement lasts and who pays for it is the work of ``planner.marks``.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from itertools import groupby, pairwise

from planner.music.scale import Pitch
from planner.music.tune import Bar, Note, Part, Tune, note_id
from planner.rules.rulebook import (
    AS_IN_THE_BOOK,
    ON_THE_BEAT,
    MovementRule,
    RuleBook,
    Value,
)

UNNAMED = "unnamed movement"
MORE_THAN_ANY = 99
"""More gracenotes than any movement has: all of them."""

Spelling = tuple[tuple[str, ...], str]


class Sits(StrEnum):
    """Where a movement lies: it takes its time from its own note, from both, or the one before."""

    ON_THE_BEAT = "on the beat"
    ACROSS_THE_BEAT = "across the beat"
    BEFORE_THE_BEAT = "before the beat"

    @classmethod
    def of(cls, beat_index: int, gracenotes: int) -> Sits:
        """Where a movement sits with so many of its gracenotes before the beat."""
        if beat_index == 0:
            return cls.ON_THE_BEAT
        return cls.BEFORE_THE_BEAT if beat_index >= gracenotes else cls.ACROSS_THE_BEAT


@dataclass(frozen=True, slots=True)
class Movement:
    """One group of gracenotes before one melody note.

    ``beat_index`` is the number of gracenotes that sound before the beat. ``key`` is the rule's, or
    None where no rule fits; ``family`` likewise, or empty. ``name`` is ``unnamed movement`` unless
    ``is_named``.
    """

    name: str
    key: str | None
    gracenotes: tuple[str, ...]
    beat_index: int
    is_named: bool
    family: str = ""

    @property
    def sits(self) -> Sits:
        """On the beat, across it or before it."""
        return Sits.of(self.beat_index, len(self.gracenotes))

    @property
    def in_words(self) -> str:
        """The gracenotes for reading: ``gracenotes: high G, E, low G``."""
        return f"gracenotes: {', '.join(self.gracenotes)}"


def name_movements(
    tune: Tune, rules: RuleBook, idiom: str | None = None
) -> tuple[tuple[str, Movement], ...]:
    """Every graced note of a tune in printed order, by its note id, with its movement.

    ``idiom`` is the one the tune is played in, when it is not the tune's own. The note before is
    found across bar lines and into each ending; it is unknown at the start of a part and after a
    rest.
    """
    played_in = idiom or tune.idiom
    return tuple(
        (
            identity,
            name_movement(_names(note.gracenotes), note_name(note), before, rules, played_in),
        )
        for part in tune.parts
        for identity, note, before in _notes_and_what_comes_before(part)
        if note.gracenotes and not note.is_rest
    )


def name_movement(
    gracenotes: tuple[str, ...],
    melody_note: str,
    previous_note: str | None,
    rules: RuleBook,
    idiom: str | None = None,
) -> Movement:
    """The movement spelt by these gracenotes before this melody note, all in chanter names.

    ``previous_note`` is the melody note before, None where it is unknown: then a movement is named
    whatever it may come from. Of several that fit, one with a name wins over one without, and the
    common case over the special one.

    Raises:
        ValueError: there are no gracenotes.
    """
    if not gracenotes:
        raise ValueError(f"no gracenotes before {melody_note}: there is no movement to name")
    for rule in _rules_by_spelling(_Table(rules.movements)).get((gracenotes, melody_note), ()):
        if may_come_from(rule, previous_note):
            return _movement(rule, rules, idiom)
    return Movement(UNNAMED, None, gracenotes, beat_index=0, is_named=False)


def may_come_from(rule: MovementRule, previous_note: str | None) -> bool:
    """True when the movement may follow this note; always true where the note is unknown."""
    if previous_note is None:
        return True
    is_allowed = not rule.coming_from or previous_note in rule.coming_from
    return is_allowed and previous_note not in rule.not_from


def _movement(rule: MovementRule, rules: RuleBook, idiom: str | None) -> Movement:
    return Movement(
        name=rule.name if rule.is_named else UNNAMED,
        key=rule.key,
        gracenotes=rule.gracenotes,
        beat_index=_beat_index(rule, rules, idiom),
        is_named=rule.is_named,
        family=rule.family,
    )


def _beat_index(rule: MovementRule, rules: RuleBook, idiom: str | None) -> int:
    """The book's beat index, or the band's own for this movement or its whole family.

    Schools differ, so a band may lay a number of gracenotes over the book under
    ``movements.heavy_throw_on_d`` or, for the whole family, a place on the beat under
    ``movements.families.throw``; it stops at the gracenotes the movement has.
    """
    own = rules.find(f"movements.{rule.key}", f"movements.families.{rule.family}")
    if own is not None and own.value != AS_IN_THE_BOOK:
        return max(0, min(_before_the_beat(own.value), len(rule.gracenotes)))
    return rule.beat_index_by_idiom.get(idiom or "", rule.beat_index)


def _before_the_beat(place: Value) -> int:
    """How many gracenotes sound before the beat: a number, or one of the places in words."""
    if isinstance(place, int | float):
        return int(place)
    number, _, _ = str(place).partition(" ")
    if number.isdigit():
        return int(number)
    return 0 if place == ON_THE_BEAT else MORE_THAN_ANY


@dataclass(frozen=True, eq=False)
class _Table:
    """The movements of a rule book, the same table only when it is the very same tuple."""

    movements: tuple[MovementRule, ...]

    def __hash__(self) -> int:
        return id(self.movements)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Table) and self.movements is other.movements


@lru_cache(maxsize=8)
def _rules_by_spelling(table: _Table) -> dict[Spelling, tuple[MovementRule, ...]]:
    """The rules of each spelling, the one to try first in front."""
    found: dict[Spelling, list[MovementRule]] = {}
    for rule in table.movements:
        for note in rule.on:
            found.setdefault((rule.gracenotes, note), []).append(rule)
    return {spelling: tuple(sorted(rules, key=_preference)) for spelling, rules in found.items()}


def _preference(rule: MovementRule) -> tuple[bool, bool, int]:
    """Named first, then what may come from anywhere, then what stands on the most notes."""
    return (not rule.is_named, bool(rule.coming_from), -len(rule.on))


def note_name(note: Note) -> str:
    """The chanter's name of a melody note, the pitch in words off the chanter, or ``rest``."""
    return "rest" if note.pitch is None else _pipe_name(note.pitch)


def _names(pitches: tuple[Pitch, ...]) -> tuple[str, ...]:
    return tuple(_pipe_name(pitch) for pitch in pitches)


@lru_cache(maxsize=256)
def _pipe_name(pitch: Pitch) -> str:
    """C natural and F natural are C and F: the chanter has one note for both."""
    is_one_note_with_its_sharp = pitch.step in "CF" and pitch.alter == 0
    sharp = Pitch(pitch.step, 1, pitch.octave) if is_one_note_with_its_sharp else pitch
    return sharp.chanter_name or pitch.name


def _notes_and_what_comes_before(part: Part) -> Iterator[tuple[str, Note, str | None]]:
    """Each printed note of a part: its id, the note, and the melody note before it or None."""
    before: str | None = None
    before_the_endings: str | None = None
    closing_notes: set[str | None] = set()
    for ending, bars in groupby(part.bars, key=lambda bar: bar.ending):
        before = before_the_endings if ending else _agreed(closing_notes)
        for identity, note in (printed for bar in bars for printed in _identified(part, bar)):
            yield identity, note, before
            before = None if note.is_rest else note_name(note)
        if ending:
            closing_notes.add(before)
        else:
            before_the_endings, closing_notes = before, set()


def _agreed(closing_notes: set[str | None]) -> str | None:
    """The note that every ending closes on, or None when they close on different ones."""
    return next(iter(closing_notes)) if len(closing_notes) == 1 else None


def _identified(part: Part, bar: Bar) -> Iterator[tuple[str, Note]]:
    for index, note in enumerate(bar.notes):
        yield note_id(part.number, bar.number, bar.ending, index), note


@dataclass(frozen=True, slots=True)
class Tachum:
    """A short note with a high G gracenote and a long one with a D gracenote, by their note ids."""

    short_note: str
    long_note: str
    falls: tuple[str, str]


#: Between which notes does a tachum fall? Source: davidson_tachum.
TACHUM_FALLS = frozenset({("C", "low A"), ("B", "low G")})


def tachums(tune: Tune) -> tuple[Tachum, ...]:
    """Every tachum of a tune in printed order, both notes in one bar.

    A tachum is a rhythm as much as its gracenotes: the first note is at most half as long as the
    second, as written. Source: davidson_tachum, fraser_tachum.
    """
    return tuple(
        Tachum(short_id, long_id, (note_name(short), note_name(long)))
        for part in tune.parts
        for bar in part.bars
        for (short_id, short), (long_id, long) in _neighbours(part, bar)
        if _is_tachum(short, long)
    )


def tachum_movements(tune: Tune) -> tuple[tuple[str, Movement], ...]:
    """Every tachum as a movement at its short note, which starts on the beat (davidson_tachum)."""
    named = Movement("tachum", None, ("high G", "D"), beat_index=0, is_named=True, family="tachum")
    return tuple((one.short_note, named) for one in tachums(tune))


def _neighbours(part: Part, bar: Bar) -> Iterator[tuple[tuple[str, Note], tuple[str, Note]]]:
    return pairwise(_identified(part, bar))


def _is_tachum(short: Note, long: Note) -> bool:
    has_the_rhythm = 2 * short.length <= long.length
    has_the_fall = (note_name(short), note_name(long)) in TACHUM_FALLS
    has_the_gracenotes = _names(short.gracenotes) == ("high G",) and _names(long.gracenotes) == (
        "D",
    )
    return has_the_rhythm and has_the_fall and has_the_gracenotes
