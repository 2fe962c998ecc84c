"""Does a set suit its dance: the bars, the tempo, the type of tune?

A dance of two tempos is slow until its slow steps are over, and quick after that. Where no range is
on record, a tempo may lie as far from the usual one as dancers bear without noticing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction

from planner.event.amounts import plain
from planner.event.dance import Dance, DanceTempo, bars_in_a_step, dance_beats
from planner.event.dancing.danced import danced
from planner.event.event import Set
from planner.event.programme import tune_type
from planner.event.timetable import Kind, SetTimetable, Stretch
from planner.findings import Finding
from planner.music.tune import Tune
from planner.rules.rulebook import Quantity, RuleBook

ASK = "Agree it with the dancers or their teacher."


def check_dance(
    a_set: Set, timetable: SetTimetable, tunes: Mapping[str, Tune], rulebook: RuleBook
) -> Iterator[Finding]:
    """The tunes of a set fill its dance to the beat, at its tempo, and are of its type."""
    if not a_set.dance:
        return
    dance = danced(a_set, tunes, rulebook)
    if a_set.steps and not timetable.is_open_ended:
        yield from _check_filled(a_set, dance, timetable)
    steps = a_set.steps or next(iter(dance.usual_steps), ())
    seen: set[tuple[str, str]] = set()
    for stretch, tempo in _with_tempos(dance, steps, timetable):
        tune = tunes.get(stretch.name)
        if tune is None or (stretch.name, tempo.name) in seen:
            continue
        seen.add((stretch.name, tempo.name))
        yield from _check_tempo(a_set, dance, tempo, tune.title, stretch.bpm, rulebook)
        yield from _check_type(a_set, dance, tempo, tune)


def tempo_range(rule: Quantity, rulebook: RuleBook) -> tuple[Fraction, Fraction]:
    """Between which tempos a dance is danced: its range, else the tolerance about its tempo."""
    if rule.low is not None and rule.high is not None:
        return Fraction(str(rule.low)), Fraction(str(rule.high))
    usual = Fraction(str(rule.value))
    tolerance = Fraction(str(rulebook.number("drill.tempo.dance_tolerance")))
    return usual * (1 - tolerance), usual * (1 + tolerance)


def _check_filled(a_set: Set, dance: Dance, timetable: SetTimetable) -> Iterator[Finding]:
    needed = dance_beats(dance, a_set.steps)
    played = sum(
        (each.beats for each in timetable.stretches if each.kind is not Kind.INTRODUCTION),
        Fraction(0),
    )
    if played != needed:
        steps = "+".join(map(str, a_set.steps))
        text = (
            f"the tunes last {plain(played)} beats, and {dance.title} of {steps} steps needs "
            f"{plain(needed)}."
        )
        yield Finding("dance_not_filled", text, a_set.name)


def _with_tempos(
    dance: Dance, steps: tuple[int, ...], timetable: SetTimetable
) -> Iterator[tuple[Stretch, DanceTempo]]:
    """Each tune with the tempo of the dance that is on when it begins."""
    slow_beats = _beats_of_slow(dance, steps)
    beats = Fraction(0)
    for stretch in timetable.stretches:
        if stretch.kind is Kind.TUNE:
            is_slow = slow_beats is None or beats < slow_beats
            yield stretch, dance.tempos[0 if is_slow else -1]
        if stretch.kind is not Kind.INTRODUCTION:
            beats += stretch.beats


def _beats_of_slow(dance: Dance, steps: tuple[int, ...]) -> Fraction | None:
    """Beats until quick time begins, None in a dance of one tempo or where it is not known."""
    first = dance.tempos[0]
    if len(dance.tempos) == 1 or first.beats_per_bar is None or not steps:
        return None
    bars = dance.opening + steps[0] * bars_in_a_step(first)
    return bars * Fraction(str(first.beats_per_bar.value))


def _check_tempo(
    a_set: Set, dance: Dance, tempo: DanceTempo, title: str, bpm: Fraction, rulebook: RuleBook
) -> Iterator[Finding]:
    if tempo.tempo is None:
        return
    lowest, highest = tempo_range(tempo.tempo, rulebook)
    if not lowest <= bpm <= highest:
        when = f" in its {tempo.name} time" if tempo.name else ""
        text = (
            f"{title} is at {plain(bpm)}, and {dance.title} is danced at {plain(lowest)} to "
            f"{plain(highest)}{when}. {ASK}"
        )
        yield Finding("dance_tempo", text, a_set.name)


def _check_type(a_set: Set, dance: Dance, tempo: DanceTempo, tune: Tune) -> Iterator[Finding]:
    found = tune_type(tune)
    if tempo.tune_type and found and found != tempo.tune_type:
        when = f", {tempo.name} time," if tempo.name else ""
        text = (
            f"{tune.title} is a {found}, and {dance.title}{when} wants a {tempo.tune_type}. {ASK}"
        )
        yield Finding("dance_tune_type", text, a_set.name)
