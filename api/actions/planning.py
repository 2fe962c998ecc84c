"""How is this event played? Everything is fetched, planned by the engine, and remembered.

``plan_of_event`` gives an ``EventPlan``: the ``PlannedEvent`` that pages and sheets are made from,
and the findings of the event's sums. ``plan_of_tune`` plans one tune of the library for any
setting. A plan is remembered by everything it depends on, so that nothing stale is ever shown.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from api.actions.choices import LOCKED, Choices, choices_for, choices_for_all
from api.actions.drum_scores import drum_scores_of
from api.actions.events import check_setting, one_event
from api.actions.memo import Memo
from api.actions.reading import LibraryTune
from api.actions.rules import own_rules, with_own_rules
from api.actions.tunes import one_tune, with_music
from api.display.planned import AgreementMade, PlannedEntry, PlannedEvent, PlannedSet
from api.storage import events as stored_events
from api.storage import sets as stored_sets
from api.storage import tunes as stored_tunes
from api.storage.database import BandId, Session
from api.storage.faults import NotFoundError
from api.storage.records import EventRecord, HandMark, Kept, Lift, OwnRule, Settled
from planner.errors import RequestError
from planner.event.checks import check_event
from planner.event.event import Entry, Event, Set, Setting
from planner.event.timetable import EventTimetable, time_event
from planner.findings import Finding
from planner.licence.licence import Level
from planner.marks import choices as marks
from planner.marks.marks import Move
from planner.marks.what_it_takes import WhatItTakes, what_it_takes
from planner.music.drums import DrumScore
from planner.music.tune import Tune
from planner.plan import Ground, TunePlan, plan_marks, prepare
from planner.rules.rulebook import RuleBook

NOTHING_SETTLED = Choices((), ())

# How many plans are remembered? A season's events have fewer entries than this.
_plans = Memo[TunePlan](limit=400)

# How many tunes are kept ready for the next mark by hand? What is being worked on.
_grounds = Memo[Ground](limit=100)

ByHand = Mapping[str, tuple[marks.ByHand, ...]]
Agreed = Mapping[str, tuple[marks.Agreed, ...]]
"""People's words on the marks of each tune, by its key."""


@dataclass(frozen=True, slots=True)
class EventPlan:
    """An event as planned: what sheets are made from, and what a pipe-major should know."""

    kept: Kept[EventRecord]
    planned: PlannedEvent
    findings: tuple[Finding, ...]
    choices: Choices
    shelf: Shelf
    sets: Mapping[str, Set]

    @property
    def event(self) -> Kept[Event]:
        """The event without its line-up."""
        kept = self.kept
        return Kept(kept.id, kept.version, kept.changed_at, kept.noun.event)

    @property
    def is_ready_to_print(self) -> bool:
        """True when no mark is in conflict and none still waits for the drums' word."""
        return all(
            plan.is_ready_to_print
            for planned_set in self.planned.sets
            for plan in planned_set.plans
        )


@dataclass(frozen=True, slots=True)
class Shelf:
    """The music and the rules that plans are made from, fetched."""

    tunes: Mapping[str, LibraryTune]
    rulebook: RuleBook
    own_rules: tuple[OwnRule, ...]
    drum_scores: Mapping[str, DrumScore]


@dataclass(frozen=True, slots=True)
class Desk:
    """Everything the plans of one event are made from."""

    setting: Setting
    shelf: Shelf
    by_hand: ByHand
    agreed: Agreed
    lifted: Mapping[str, marks.Lifted]


def plan_of_event(session: Session, band: BandId, number: int) -> EventPlan:
    """An event with a plan for every tune, its timetable and its findings.

    Raises:
        NotFoundError: the band has no such event.
        RequestError: a tune has no music to plan, or an amount cannot be reckoned with.
    """
    kept = one_event(session, band, number)
    choices = choices_for(session, band, kept.noun.event)
    sets = _sets(session, band, [kept.noun.event])
    shelf = _shelf(session, band, _tunes(session, band, sets.values()))
    return _event_plan(kept, sets, shelf, choices)


def plans_ahead(session: Session, band: BandId, today: date, most: int) -> tuple[EventPlan, ...]:
    """The next events, planned; everything is fetched at once, however many there are.

    Raises:
        RequestError: a tune has no music to plan, or an amount cannot be reckoned with.
    """
    ahead = stored_events.events_ahead(session, band, today, most)
    if not ahead:
        return ()
    events = [kept.noun.event for kept in ahead]
    choices = choices_for_all(session, band, events)
    sets = _sets(session, band, events)
    shelf = _shelf(session, band, _tunes(session, band, sets.values()))
    return tuple(_event_plan(kept, sets, shelf, choices[kept.noun.event.key]) for kept in ahead)


def _event_plan(
    kept: Kept[EventRecord], sets: Mapping[str, Set], shelf: Shelf, choices: Choices
) -> EventPlan:
    event = kept.noun.event
    desk = _desk(event.setting, shelf, choices)
    music = {key: tune.tune for key, tune in shelf.tunes.items() if tune.tune is not None}
    planned_sets = tuple(
        _planned_set(desk, sets[item.set_key]) for item in event.items if item.set_key
    )
    timetable = time_event(event, sets, music, shelf.rulebook)
    findings = check_event(event, sets, music, shelf.rulebook, kept.noun.line_up)
    planned = _planned_event(kept, planned_sets, timetable, choices)
    return EventPlan(kept, planned, findings, choices, shelf, sets)


def plan_of_tune(
    session: Session,
    band: BandId,
    number: int,
    setting: Setting,
    tempo_bpm: float | None = None,
) -> TunePlan:
    """One tune of the library, planned for a setting; ``tempo_bpm`` goes before its own.

    Raises:
        NotFoundError: the band has no such tune.
        RequestError: the sort does not go with the occasion, or the tune has no music to plan.
    """
    check_setting(setting)
    kept = one_tune(session, band, number)
    desk = _desk(setting, _shelf(session, band, (kept,)), NOTHING_SETTLED)
    return _plan(desk, Entry(kept.noun.record.key, tempo_bpm))


def _sets(session: Session, band: BandId, events: Iterable[Event]) -> dict[str, Set]:
    items = [item for event in events for item in event.items]
    numbers = sorted({int(item.set_key) for item in items if item.set_key})
    return stored_sets.sets_by_number(session, band, numbers) if numbers else {}


def _tunes(session: Session, band: BandId, sets: Iterable[Set]) -> tuple[Kept[LibraryTune], ...]:
    numbers = sorted({int(entry.tune_key) for each in sets for entry in each.entries})
    kept = tuple(stored_tunes.tunes_by_number(session, band, numbers).values()) if numbers else ()
    return with_music(session, band, kept)


def _shelf(session: Session, band: BandId, tunes: Sequence[Kept[LibraryTune]]) -> Shelf:
    own = own_rules(session, band)
    return Shelf(
        tunes={kept.noun.record.key: kept.noun for kept in tunes},
        rulebook=with_own_rules(own),
        own_rules=tuple(kept.noun for kept in own),
        drum_scores=drum_scores_of(session, band, [kept.noun.record for kept in tunes]),
    )


def _desk(setting: Setting, shelf: Shelf, choices: Choices) -> Desk:
    by_hand, agreed = _by_tune(choices)
    lifted = {lift.tune_key: _lifted(lift) for lift in choices.lifts}
    return Desk(setting, shelf, by_hand, agreed, lifted)


def _planned_set(desk: Desk, planned: Set) -> PlannedSet:
    entries = tuple(PlannedEntry(entry, _plan(desk, entry)) for entry in planned.entries)
    return PlannedSet(planned, entries)


def _plan(desk: Desk, entry: Entry) -> TunePlan:
    library_tune = desk.shelf.tunes[entry.tune_key]
    tune = library_tune.tune
    if tune is None:
        title = library_tune.record.title
        raise RequestError("tune", f"“{title}” has no music to plan", "upload its file again")
    choices = _choices(desk, entry.tune_key)
    key = _identity(desk, library_tune, entry, choices)
    said = (choices.by_hand, choices.agreements)
    return _plans.get(
        (key, said), lambda: plan_marks(_ground(desk, key, tune, entry, choices), choices)
    )


def _identity(
    desk: Desk, library_tune: LibraryTune, entry: Entry, choices: marks.Choices
) -> Hashable:
    """All that a plan depends on but the words on single notes: music, drums, setting, rules."""
    said = (library_tune.record, desk.setting, entry.tempo_bpm)
    return (*said, desk.shelf.own_rules, choices.lifted)


def _ground(desk: Desk, key: Hashable, tune: Tune, entry: Entry, choices: marks.Choices) -> Ground:
    """What every plan of the tune stands on, whatever is said of its notes."""
    rules, tempo_bpm = desk.shelf.rulebook, entry.tempo_bpm
    return _grounds.get(
        key, lambda: prepare(tune, desk.setting, rules, tempo_bpm=tempo_bpm, choices=choices)
    )


def _choices(desk: Desk, key: str) -> marks.Choices:
    return marks.Choices(
        desk.by_hand.get(key, ()),
        desk.agreed.get(key, ()),
        desk.shelf.drum_scores.get(key),
        desk.lifted.get(key),
    )


def ask_for(
    session: Session, band: BandId, number: int, tune_key: str, note_id: str, move: Move
) -> WhatItTakes:
    """What stands in the way of one move on one note of a tune at an event.

    Raises:
        NotFoundError: no such event, tune in it, or note in the tune.
        RequestError: the tune has no music to plan.
    """
    return ask_at(plan_of_event(session, band, number), tune_key, note_id, move)


def ask_at(plan: EventPlan, tune_key: str, note_id: str, move: Move) -> WhatItTakes:
    """The same at an event that is planned already."""
    entries = [each for played in plan.planned.sets for each in played.entries]
    found = next((each for each in entries if each.entry.tune_key == tune_key), None)
    library_tune = plan.shelf.tunes.get(tune_key)
    if found is None or library_tune is None or library_tune.tune is None:
        raise NotFoundError("tune in this event with the number", tune_key)
    notes = found.plan.analysis.notes
    index = next((note.index for note in notes if note.place.note_id == note_id), None)
    if index is None:
        raise NotFoundError("note", note_id)
    desk = _desk(plan.event.noun.setting, plan.shelf, plan.choices)
    choices = _choices(desk, tune_key)
    key = _identity(desk, library_tune, found.entry, choices)
    ground = _ground(desk, key, library_tune.tune, found.entry, choices)
    said = found.plan
    return what_it_takes(ground.stage, ground.ranked, said.marks, said.left_out, index, move)


def _by_tune(choices: Choices) -> tuple[ByHand, Agreed]:
    """Marks by hand and agreements as the engine takes them, by tune."""
    by_hand: dict[str, tuple[marks.ByHand, ...]] = {}
    for kept in choices.hand_marks:
        mark = kept.noun
        by_hand[mark.tune_key] = (*by_hand.get(mark.tune_key, ()), _by_hand(mark))
    agreed: dict[str, tuple[marks.Agreed, ...]] = {}
    for outcome in choices.agreements:
        agreed[outcome.tune_key] = (*agreed.get(outcome.tune_key, ()), _agreed(outcome))
    return by_hand, agreed


def _by_hand(mark: HandMark) -> marks.ByHand:
    place = mark.place
    move = Move(mark.move) if mark.move and mark.will == LOCKED else None
    return marks.ByHand(
        place.part, place.bar, place.ending, place.index, move, mark.ms, mark.set_by
    )


def _lifted(lift: Lift) -> marks.Lifted:
    levels = tuple((layer, Level(level)) for layer, level in lift.levels)
    return marks.Lifted(levels, lift.lifted_by)


def _agreed(outcome: Settled) -> marks.Agreed:
    return marks.Agreed(
        outcome.address,
        Move(outcome.move),
        outcome.ms,
        outcome.tempo_bpm,
        outcome.is_agreed,
        outcome.who,
    )


def _planned_event(
    kept: Kept[EventRecord],
    sets: tuple[PlannedSet, ...],
    timetable: EventTimetable,
    choices: Choices,
) -> PlannedEvent:
    agreements = tuple(
        AgreementMade(each.tune_key, each.address, each.is_agreed, each.who, each.agreed_at)
        for each in choices.agreements
    )
    return PlannedEvent(
        event=kept.noun.event,
        sets=sets,
        line_up=kept.noun.line_up,
        made_at=kept.changed_at,
        timetable=timetable,
        agreements=agreements,
    )
