"""How long is a tune as it is played in a set, at which tempo, and where may it stop?

Felt beats are counted exactly, repeats unrolled, each ending in its own pass; seconds are exact
Fractions. How tunes add up to a set is the work of ``timetable.py``.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from planner.errors import RequestError
from planner.event.altered import felt_beats
from planner.event.amounts import positive
from planner.event.event import CutOff, Entry
from planner.event.played_parts import as_played, in_turn
from planner.music.tempo import Tempo
from planner.music.tune import Tune
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
    earlier = max(0, entry.times_through - 1)
    before = felt_beats(in_turn(entry, tune).played_bars()) * earlier if earlier else Fraction(0)
    return before + felt_beats(as_played(entry, tune).played_bars())


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


def stopping_places(entry: Entry, tune: Tune, *, is_last: bool = True) -> tuple[StoppingPlace, ...]:
    """Where one time through a tune may be stopped: at the end of each part and of each repeat.

    The entry's cut-off may leave only the ends of the parts, or the end of the tune.
    """
    places = []
    beats = Fraction(0)
    played = as_played(entry, tune) if is_last else in_turn(entry, tune)
    by_number = {part.number: part for part in played.parts}
    for turn in played.turns:
        for number, taken in enumerate(turn.passes, start=1):
            beats += felt_beats(by_number[turn.part].bars_in_pass(taken))
            again = f", time {number}" if len(turn.passes) > 1 else ""
            words = f"end of part {turn.part}{again}"
            places.append(StoppingPlace(turn.part, number, words, beats))
            if entry.cut_off is CutOff.END_OF_PART and number < len(turn.passes):
                places.pop()
    return tuple(places[-1:] if entry.cut_off is CutOff.END_OF_TUNE else places)
