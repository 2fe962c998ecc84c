"""What does one player need on the day? What I play, my outs, my harmony, start, stop, times."""

from __future__ import annotations

from dataclasses import dataclass

from api.display.music import MusicView, music_view
from api.display.own_bars import own_bar_lines
from api.display.pages.event import times_of_day
from api.display.pages.own_bars_on_screen import OwnBarsView, own_bars_view
from api.display.pages.tune_at_event import Legend, legend_of
from api.display.people import INSTRUMENT_WORDS
from api.display.planned import PlannedEntry, PlannedEvent, PlannedSet, setting_words
from api.display.planned_tune import MarkLineView, facts_words, mark_lines, no_mark_words
from api.display.words import (
    beats_a_minute,
    counted,
    day_words,
    join_words,
    start_words,
    stop_words,
    tempo_words,
    version_words,
)
from planner.event.event import Arrangements, LineUp, Person
from planner.marks.marks import Mark, Verdict
from planner.plan import TunePlan

# Which sheets are there for a player, and under which file does each lie?
OWN_CARDS = ("My cards", "set-cards.pdf?person={person}")
MUSIC = ("Music with the marks", "phrased-music.pdf")
DRUM_SHEET = ("Drum sheet", "drum-sheet.pdf")
OUTS = ("My outs", "outs.pdf?person={person}")
LEARNER_CARD = ("Learner's card", "learner-card.pdf?person={person}")
SHEETS_FOR_ALL = (("Call sheet", "call-sheet.pdf"), ("Running order", "running-order.pdf"))


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
    """My card for an event.

    ``home`` is my own page; ``version`` tells an old copy from a new one. ``event_number`` leads
    whoever may see it to the plan.
    """

    home: str
    event_number: str
    sheets: tuple[tuple[str, str], ...]
    version: str
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


@dataclass(frozen=True, slots=True)
class MyMusicView:
    """The music of one tune on my card, with its marks."""

    back: str
    event: str
    occasion: str
    title: str
    facts: str
    tempo: str
    tempo_unit: str
    music: MusicView
    legend: Legend
    marks: tuple[MarkLineView, ...]
    no_marks: str
    own_bars: OwnBarsView


def player_view(planned: PlannedEvent, person: Person, base: str) -> PlayerView:
    """The card of one player for an event; ``base`` is where the players' pages lie."""
    event = planned.event
    is_playing = any(who.key == person.key for who in planned.line_up.people)
    sheets = sheets_of(person) if is_playing else SHEETS_FOR_ALL
    return PlayerView(
        home=f"{base}/{person.key}",
        event_number=event.key,
        sheets=tuple(
            (name, f"{base}/events/{event.key}/{file}".format(person=person.key))
            for name, file in sheets
        ),
        version=version_words(event.version, planned.made_at),
        event=event.name,
        name=person.name,
        plays=INSTRUMENT_WORDS[person.instrument],
        occasion=setting_words(event.setting),
        day=day_words(event.day),
        times=times_of_day(event.clock),
        facts=_facts(event.arrangements),
        sums=_sums(planned, person),
        sets=tuple(
            _set(each, planned.line_up, person, f"{base}/{person.key}/events/{event.key}")
            for each in planned.sets
        ),
        is_in_line_up=is_playing,
    )


def sheets_of(person: Person) -> tuple[tuple[str, str], ...]:
    """The sheets that are one player's own, by name and file."""
    music = DRUM_SHEET if person.instrument.is_drum else MUSIC
    learner = (LEARNER_CARD,) if person.is_learner else ()
    return (OWN_CARDS, music, OUTS, *learner, *SHEETS_FOR_ALL)


def my_music_view(
    planned: PlannedEvent, each: PlannedEntry, person: Person, base: str
) -> MyMusicView:
    """One tune as this event has it, for whoever plays from their telephone."""
    plan = each.plan
    return MyMusicView(
        back=f"{base}/{person.key}/events/{planned.event.key}",
        event=planned.event.name,
        occasion=setting_words(planned.event.setting),
        title=plan.tune.title,
        facts=facts_words(plan, each.entry),
        tempo=tempo_words(plan.analysis.tempo.bpm),
        tempo_unit=beats_a_minute([plan.tune.metre]),
        music=music_view(plan.tune, plan.marks),
        legend=legend_of(plan.marks),
        marks=mark_lines(plan.marks, "my", False),
        no_marks=no_mark_words(plan),
        own_bars=own_bars_view(each),
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


def _set(played: PlannedSet, line_up: LineUp, person: Person, card: str) -> MySetView:
    tunes = tuple(_tune(each, line_up, person, card) for each in played.entries)
    return MySetView(str(played.set.number), played.set.name, tunes)


def _my_marks(plan: TunePlan, person: Person) -> tuple[Mark, ...]:
    """A piper plays every mark; a drummer needs those that are not strict."""
    if not person.instrument.is_drum:
        return plan.marks
    return tuple(mark for mark in plan.marks if mark.drums is not Verdict.STRICT)


def _tune(each: PlannedEntry, line_up: LineUp, person: Person, card: str) -> MyTuneView:
    key, plan, entry = each.entry.tune_key, each.plan, each.entry
    is_out = (person.key, key) in line_up.outs
    has_harmony = (person.key, key) in line_up.harmony
    lines = (
        ("Start", start_words(entry)),
        ("Stop", stop_words(entry)),
        *own_bar_lines(each),
        ("Join", entry.join),
    )
    return MyTuneView(
        title=plan.tune.title,
        address=f"{card}/tunes/{key}",
        facts=facts_words(plan, entry),
        tempo=tempo_words(plan.analysis.tempo.bpm),
        tempo_unit=beats_a_minute([plan.tune.metre]),
        mine="You are out" if is_out else "You play harmony" if has_harmony else "You play",
        is_out=is_out,
        lines=tuple((name, words) for name, words in lines if words),
        marks=() if is_out else mark_lines(_my_marks(plan, person), f"tune-{key}", False),
    )
