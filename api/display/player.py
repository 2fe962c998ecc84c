"""What does one player need on the day? What I play, my outs, my harmony, start, stop, times."""

from __future__ import annotations

from dataclasses import dataclass

from api.display.event import times_of_day
from api.display.people import INSTRUMENT_WORDS
from api.display.planned import PlannedEntry, PlannedEvent, PlannedSet, setting_words
from api.display.planned_tune import MarkLineView, facts_words, mark_lines
from api.display.words import beats_a_minute, counted, day_words, join_words, tempo_words
from planner.event.event import Arrangements, LineUp, Person
from planner.marks.marks import Mark, Verdict
from planner.plan import TunePlan


@dataclass(frozen=True, slots=True)
class MyTuneView:
    """One tune of my card. ``mine`` says what I do in it."""

    title: str
    address: str
    facts: str
    tempo: str
    tempo_unit: str
    mine: str
    is_out: bool
    lines: tuple[tuple[str, str], ...]
    marks: tuple[MarkLineView, ...]


@dataclass(frozen=True, slots=True)
class MySetView:
    """One set of my card."""

    number: str
    name: str
    tunes: tuple[MyTuneView, ...]


@dataclass(frozen=True, slots=True)
class PlayerView:
    """My card for an event."""

    event_address: str
    cards: str
    event: str
    name: str
    plays: str
    occasion: str
    day: str
    times: tuple[tuple[str, str], ...]
    facts: tuple[tuple[str, str], ...]
    sums: str
    sets: tuple[MySetView, ...]
    is_in_line_up: bool


def player_view(planned: PlannedEvent, person: Person) -> PlayerView:
    """The card of one player for an event."""
    event = planned.event
    return PlayerView(
        event_address=f"/events/{event.key}",
        cards=f"/events/{event.key}/set-cards.pdf?person={person.key}",
        event=event.name,
        name=person.name,
        plays=INSTRUMENT_WORDS[person.instrument],
        occasion=setting_words(event.setting),
        day=day_words(event.day),
        times=times_of_day(event.clock),
        facts=_facts(event.arrangements),
        sums=_sums(planned, person),
        sets=tuple(_set(each, planned.line_up, person, event.key) for each in planned.sets),
        is_in_line_up=any(who.key == person.key for who in planned.line_up.people),
    )


def _facts(told: Arrangements) -> tuple[tuple[str, str], ...]:
    named = (
        ("Stop signal", told.stop_signal),
        ("Place", told.place),
        ("Dress", told.dress),
        ("Transport", told.transport),
        ("Wet plan", told.wet_plan),
        ("Hazards", told.hazards),
    )
    return tuple((name, words) for name, words in named if words)


def _sums(planned: PlannedEvent, person: Person) -> str:
    """What I do in one sentence: how many tunes, which I am out of, where I play harmony."""
    titles = {
        each.entry.tune_key: each.tune.title for played in planned.sets for each in played.entries
    }
    line_up = planned.line_up
    outs = [title for key, title in titles.items() if (person.key, key) in line_up.outs]
    harmony = [title for key, title in titles.items() if (person.key, key) in line_up.harmony]
    said = [f"{counted(len(titles) - len(outs), 'tune')} to play"]
    said += [f"out of {join_words(outs)}"] if outs else []
    said += [f"harmony in {join_words(harmony)}"] if harmony else []
    words = "; ".join(said)
    return f"{words[:1].upper()}{words[1:]}."


def _set(played: PlannedSet, line_up: LineUp, person: Person, event_key: str) -> MySetView:
    tunes = tuple(_tune(each, line_up, person, event_key) for each in played.entries)
    return MySetView(str(played.set.number), played.set.name, tunes)


def _my_marks(plan: TunePlan, person: Person) -> tuple[Mark, ...]:
    """A piper plays every mark; a drummer needs those that are not strict."""
    if not person.instrument.is_drum:
        return plan.marks
    return tuple(mark for mark in plan.marks if mark.drums is not Verdict.STRICT)


def _tune(each: PlannedEntry, line_up: LineUp, person: Person, event_key: str) -> MyTuneView:
    key, plan, entry = each.entry.tune_key, each.plan, each.entry
    is_out = (person.key, key) in line_up.outs
    has_harmony = (person.key, key) in line_up.harmony
    lines = (("Start", entry.start_line), ("Stop", entry.stop_line), ("Join", entry.join))
    return MyTuneView(
        title=plan.tune.title,
        address=f"/events/{event_key}/tunes/{key}",
        facts=facts_words(plan, entry),
        tempo=tempo_words(plan.analysis.tempo.bpm),
        tempo_unit=beats_a_minute([plan.tune.metre]),
        mine="You are out" if is_out else "You play harmony" if has_harmony else "You play",
        is_out=is_out,
        lines=tuple((name, words) for name, words in lines if words),
        marks=() if is_out else mark_lines(_my_marks(plan, person), f"tune-{key}", False),
    )
