"""Invented events to put into words."""

from dataclasses import replace
from datetime import date, datetime, time

from api.display.planned import PlannedEntry, PlannedEvent, PlannedSet
from planner.event.altered import link_tune
from planner.event.event import (
    Arrangements,
    Clock,
    Control,
    Entry,
    Event,
    Instrument,
    LineUp,
    Occasion,
    Person,
    Set,
    Setting,
    Sort,
)
from planner.event.played_parts import as_played
from planner.music.tune import Tune
from planner.plan import plan_tune
from planner.rules.load import load_rulebook
from tests.builders import tune

# The scenario of a march with a low A before a taorluath.
MARCH = "|: e2 | {g}A4 {GdGe}A3B | {gcd}c3e {ag}a3e | {Gdc}d3B {g}c3A | {gBd}B3A {GdG}B2 :|"
REEL = "|: {g}Ace {g}fec | {g}Ace {g}a2e | {g}fec {g}ecA | {g}ceB {g}A2 :|"

ISLA = Person("isla", "Isla Rennick", Instrument.PIPES)
JO = Person("jo", "Jo Pell", Instrument.PIPES)
SAM = Person("sam", "Sam Orrin", Instrument.SNARE)

PARADE = Setting(Occasion.PARADE, Sort.OWN_BAND, control=Control(4))
CONTEST = Setting(Occasion.COMPETITION, Sort.MARCH_STRATHSPEY_REEL, control=Control(4))
MADE_AT = datetime(2031, 6, 12, 18, 4)


def march(title: str = "The Lantern on Harrow Brae", tempo: float = 76) -> Tune:
    return tune(f"2/4 {MARCH}", length="1/16", idiom="march", title=title, tempo=tempo)


def jig(title: str = "Oats in the Piper's Boot") -> Tune:
    return tune(f"6/8 {REEL}", idiom="jig", title=title, tempo=116)


def planned_entry(music: Tune, setting: Setting = PARADE, **changes: object) -> PlannedEntry:
    entry = replace(Entry(music.title.lower()), **changes)
    rules, link = load_rulebook(), link_tune(entry, music)
    plan = plan_tune(as_played(entry, music), setting, rules)
    return PlannedEntry(entry, plan, plan_tune(link, setting, rules) if link else None)


def planned_set(*entries: PlannedEntry, number: int = 1, name: str = "Street set") -> PlannedSet:
    played = tuple(each.entry for each in entries)
    return PlannedSet(Set(f"set {number}", number, name, played), entries)


def planned_event(*sets: PlannedSet, setting: Setting = PARADE, **changes: object) -> PlannedEvent:
    event = Event(
        key="harvest",
        name="Harvest parade",
        setting=setting,
        day=date(2031, 6, 14),
        clock=Clock(time(9, 15), time(9, 45), time(10, 30)),
        arrangements=Arrangements(
            place="the mill green", dress="day dress", stop_signal="the mace held level"
        ),
        version=3,
    )
    line_up = LineUp(
        people=(ISLA, JO, SAM),
        outs=frozenset({("jo", "the lantern on harrow brae")}),
        harmony=frozenset({("isla", "the lantern on harrow brae")}),
    )
    told = PlannedEvent(event, sets or (planned_set(planned_entry(march())),), line_up, MADE_AT)
    return replace(told, **changes)
