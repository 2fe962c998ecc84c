"""How long is a tune as it is played in a set, at which tempo, and where may it stop?

Felt beats are counted exactly, repeats unrolled, each ending in its own pass; seconds are exact
Fractions. How tunes add up to a set is the work of ``timetable.py``.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from planner.errors import RequestError
from planner.event.amounts import positive
from planner.event.event import Entry
from planner.music.tempo import Tempo
from planner.music.tune import Part, Tune
from planner.rules.rulebook import RuleBook

FALLBACK_IDIOM = "march"
"""As what is a tune reckoned when nobody has said? As the commonest: a march."""

TIMES = "give 1 or more, or 0 for until the cue"
TEMPO = "felt beats a minute, such as 86"


@dataclass(frozen=True, slots=True)
class StoppingPlace:
    """Where an open-ended tune may stop: the words, and beats from the start of the tune."""

    part: int
    time_through: int
    words: str
    beats: Fraction


def time_entry(entry: Entry, tune: Tune, tempo: Tempo) -> Fraction:
    """Exact seconds of a tune as it is played in a set, one time through when until the cue."""
    return played_beats(entry, tune) * 60 / positive("tempo", tempo.bpm, TEMPO)


def played_beats(entry: Entry, tune: Tune) -> Fraction:
    """Felt beats of the chosen parts, repeats unrolled, times through counted."""
    if entry.times_through < 0:
        raise RequestError(tune.title, "is played a negative number of times", TIMES)
    once = sum((_part_beats(part) for part in chosen_parts(entry, tune)), Fraction(0))
    return once * max(1, entry.times_through)


def chosen_parts(entry: Entry, tune: Tune) -> tuple[Part, ...]:
    """The parts an entry plays, in its own order; all as printed when it names none.

    Raises:
        RequestError: the tune has no part of that number.
    """
    by_number = {part.number: part for part in tune.parts}
    for number in entry.parts:
        if number not in by_number:
            last = max(by_number, default=0)
            raise RequestError(tune.title, f"has no part {number}", f"choose parts 1 to {last}")
    return tuple(by_number[number] for number in entry.parts) or tune.parts


def entry_tempo(entry: Entry, tune: Tune, rulebook: RuleBook) -> Tempo:
    """The tempo of an entry: its own, else the tune's, else the idiom's from the rule book.

    Raises:
        RequestError: no tempo anywhere, or one that is not above zero.
    """
    if entry.tempo_bpm is not None:
        positive("tempo", entry.tempo_bpm, TEMPO)
        return Tempo(entry.tempo_bpm)
    if tune.tempo is not None:
        return tune.tempo
    idiom = f"idioms.{(tune.idiom or FALLBACK_IDIOM).replace(' ', '_')}.tempo"
    rule = rulebook.find(f"{idiom}.{tune.metre.count}/{tune.metre.unit}", f"{idiom}.any")
    if rule is None:
        raise RequestError(
            tune.title, f"has no tempo, and {tune.idiom!r} gives none", f"give {TEMPO}"
        )
    return Tempo(rulebook.number(rule.key))


def stopping_places(entry: Entry, tune: Tune) -> tuple[StoppingPlace, ...]:
    """Where one time through a tune may be stopped: the end of each part and of each repeat."""
    places = []
    beats = Fraction(0)
    for part in chosen_parts(entry, tune):
        for number in range(1, part.times + 1):
            beats += _pass_beats(part, number)
            again = f", time {number}" if part.is_repeated else ""
            words = f"end of part {part.number}{again}"
            places.append(StoppingPlace(part.number, number, words, beats))
    return tuple(places)


def _part_beats(part: Part) -> Fraction:
    passes = (_pass_beats(part, number) for number in range(1, part.times + 1))
    return sum(passes, Fraction(0))


def _pass_beats(part: Part, number: int) -> Fraction:
    bars = part.bars_in_pass(number)
    return sum((bar.length / bar.metre.beat_length for bar in bars), Fraction(0))
