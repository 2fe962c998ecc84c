"""What does everything that can be reckoned about an event come to?

One walk over the running order: the joins inside each set, its contest window and its dance, what
the street makes of the sets, how late the sound comes along the column, and when the measured level
reaches the daily value. Each sum is there only where it applies. The clock is in ``timetable.py``,
and what would go wrong is said in ``checks.py``.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from planner.errors import RequestError
from planner.event.altered import link_tune
from planner.event.contest.contest import SetVerdict, judge_set, on_the_clock
from planner.event.contest.rulesets import RuleSet, find_ruleset
from planner.event.dance import Dance, DanceLength, bars_a_minute, dance_length
from planner.event.dancing.danced import danced, steps_text
from planner.event.entry_time import entry_tempo
from planner.event.event import Event, Instrument, LineUp, Occasion, Set
from planner.event.joins import Join, judge_joins, neighbour
from planner.event.played_parts import as_played
from planner.event.ready import Submission, submissions
from planner.event.sound import SoundDose, cautions, sound_dose
from planner.event.street.street import StreetSums, street_sums
from planner.event.times import EventTimes, event_times
from planner.event.timetable import EventTimetable, NervousLengths, Slot, lengths_with_nerves
from planner.music.tune import Tune
from planner.rules.rulebook import RuleBook


@dataclass(frozen=True, slots=True)
class ContestSums:
    """A set against its rules. ``verdict`` is None without a time limit, or until the cue.

    ``players`` are (instrument, asked for, there).
    """

    rules: RuleSet
    lengths: NervousLengths
    verdict: SetVerdict | None
    players: tuple[tuple[Instrument, int, int], ...]


@dataclass(frozen=True, slots=True)
class DanceSums:
    """A set against its dance. ``length`` is None, with the ``problem`` said, if not reckoned.

    ``bars_a_minute`` are those of the first tempo, as country dancers speak of it; ``said`` are the
    steps as people write them: ``4+8``, ``8x48``.
    """

    dance: Dance
    steps: tuple[int, ...]
    tempos_bpm: tuple[float, ...]
    tolerance: float
    length: DanceLength | None
    problem: str = ""
    bars_a_minute: float | None = None
    said: str = ""


@dataclass(frozen=True, slots=True)
class SetSums:
    """The sums of one set of the running order."""

    key: str
    number: int
    name: str
    joins: tuple[Join, ...]
    contest: ContestSums | None = None
    dance: DanceSums | None = None


@dataclass(frozen=True, slots=True)
class EventSums:
    """Everything reckoned about an event."""

    sets: tuple[SetSums, ...]
    street: StreetSums | None
    dose: SoundDose | None
    cautions: Mapping[str, str]
    submitted: tuple[Submission, ...] = ()
    times: EventTimes | None = None


@dataclass(frozen=True, slots=True)
class Music:
    """The sets and tunes an event is played from, and the tonal centres by tune key."""

    sets: Mapping[str, Set]
    tunes: Mapping[str, Tune]
    centres: Mapping[str, str]


def sum_event(
    event: Event,
    timetable: EventTimetable,
    music: Music,
    line_up: LineUp,
    rulebook: RuleBook,
    cannot_play: Mapping[str, Sequence[str]] | None = None,
) -> EventSums:
    """Joins, contest, dance, street, sound and cautions of an event.

    ``cannot_play`` holds by tune key who has not learnt it, each as a sentence.

    Raises:
        RequestError: an amount cannot be reckoned with, or rules or a dance are not on record.
    """
    slots = {slot.item.set_key: slot for slot in timetable.slots if slot.timetable}
    is_contest = event.setting.occasion is Occasion.COMPETITION
    return EventSums(
        sets=tuple(
            _set_sums(music.sets[key], slot, music, line_up if is_contest else None, rulebook)
            for key, slot in slots.items()
        ),
        street=street_sums(event, timetable, music.sets, music.tunes, rulebook),
        dose=dose_of_event(event, timetable, rulebook),
        cautions=cautions(rulebook),
        times=event_times(event, timetable, music.tunes, rulebook),
        submitted=submissions(
            [
                (music.sets[key], slot.timetable)
                for key, slot in slots.items()
                if slot.timetable is not None and is_contest
            ],
            music.tunes,
            line_up,
            rulebook,
            cannot_play or {},
        ),
    )


def joins_of_set(a_set: Set, music: Music, rulebook: RuleBook) -> tuple[Join, ...]:
    """The advice on every join of a set, at the tempos its entries are played at."""
    met = [
        neighbour(
            as_played(entry, music.tunes[entry.tune_key]),
            entry_tempo(entry, music.tunes[entry.tune_key], rulebook).bpm,
            music.centres.get(entry.tune_key, ""),
            link_tune(entry, music.tunes[entry.tune_key]),
            entry.cue,
        )
        for entry in a_set.entries
    ]
    return judge_joins(met, rulebook)


def contest_sums(a_set: Set, slot: Slot, line_up: LineUp, rulebook: RuleBook) -> ContestSums | None:
    """A set against the rules it is entered under, None where it is entered under none."""
    if not a_set.ruleset or slot.timetable is None:
        return None
    rules = find_ruleset(a_set.ruleset, rulebook)
    can_be_judged = rules.has_window and not slot.timetable.is_open_ended
    verdict = judge_set(rules, slot.timetable, rulebook) if can_be_judged else None
    counted = on_the_clock(rules, slot.timetable)
    players = tuple((one, needed, line_up.count(one)) for one, needed in rules.minimum.items())
    return ContestSums(rules, lengths_with_nerves(counted, rulebook), verdict, players)


def dance_sums(a_set: Set, music: Music, rulebook: RuleBook) -> DanceSums | None:
    """A set against the dance it is played for, None where it is played for none.

    The first tune gives the first tempo, the last tune the quick one.
    """
    if not a_set.dance:
        return None
    dance = danced(a_set, music.tunes, rulebook)
    steps = a_set.steps or next(iter(dance.usual_steps), ())
    tempos = _dance_tempos(a_set, dance, music, rulebook)
    tolerance = rulebook.number("drill.tempo.dance_tolerance")
    said = steps_text(a_set) or "+".join(map(str, steps))
    try:
        bars = _introduction_bars(a_set, dance)
        length = dance_length(dance, steps, tempos, rulebook, bars)
    except RequestError as error:
        return DanceSums(dance, steps, tempos, tolerance, None, str(error), said=said)
    # Country dancers speak of bars a minute; a dance of two tempos has two, and nobody names them.
    speed = float(bars_a_minute(dance, tempos[0])) if len(tempos) == 1 else None
    return DanceSums(dance, steps, tempos, tolerance, length, bars_a_minute=speed, said=said)


def _set_sums(
    a_set: Set, slot: Slot, music: Music, line_up: LineUp | None, rulebook: RuleBook
) -> SetSums:
    """The sums of a set; contest rules hold for a line-up at a competition, elsewhere for none."""
    return SetSums(
        key=a_set.key,
        number=a_set.number,
        name=a_set.name,
        joins=joins_of_set(a_set, music, rulebook),
        contest=contest_sums(a_set, slot, line_up, rulebook) if line_up is not None else None,
        dance=dance_sums(a_set, music, rulebook),
    )


def _dance_tempos(a_set: Set, dance: Dance, music: Music, rulebook: RuleBook) -> tuple[float, ...]:
    played: Sequence[float] = [
        entry_tempo(entry, music.tunes[entry.tune_key], rulebook).bpm for entry in a_set.entries
    ]
    if not played:
        return ()
    return (played[0],) if len(dance.tempos) == 1 else (played[0], played[-1])


def _introduction_bars(a_set: Set, dance: Dance) -> int | None:
    """The set's own introduction in bars of the dance, None to take the dance's usual one."""
    beats = dance.tempos[0].beats_per_bar
    if a_set.introduction_beats is None or beats is None:
        return None
    bars = Fraction(a_set.introduction_beats) / Fraction(str(beats.value))
    if bars.denominator != 1:
        problem = f"{a_set.introduction_beats} beats are not a whole number of bars"
        raise RequestError("introduction", problem, f"give a multiple of {beats.value}")
    return int(bars)


def dose_of_event(event: Event, timetable: EventTimetable, rulebook: RuleBook) -> SoundDose | None:
    """The dose of the running order played once, None where no average level was measured."""
    if event.loudness is None:
        return None
    minutes = float(timetable.length / 60)
    return sound_dose(event.loudness.level_dba, rulebook, minutes=minutes)
