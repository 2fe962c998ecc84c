"""How is this event played? Everything is fetched and planned by the engine.

``plan_of_event`` gives an ``EventPlan``: the ``PlannedEvent`` that pages and sheets are made from,
and the findings of the event's sums. ``plan_of_tune`` plans one tune of the library for any
setting. What one tune is planned from is put together in ``desk.py``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from api.actions.choices import Choices, choices_for, choices_for_all
from api.actions.desk import (
    Desk,
    Shelf,
    ground_of,
    lay_out,
    parts_not_played,
    plan_entry,
    plan_link,
    plan_within_ceiling,
)
from api.actions.drum_scores import drum_scores_of
from api.actions.events import check_setting, one_event
from api.actions.music import with_music
from api.actions.own_rulesets import is_ruleset
from api.actions.reading import LibraryTune
from api.actions.rules import own_rules, with_own_rules
from api.actions.tunes import one_tune
from api.display.planned import AgreementMade, PlannedEntry, PlannedEvent, PlannedSet
from api.storage import events as stored_events
from api.storage import sets as stored_sets
from api.storage import tunes as stored_tunes
from api.storage.database import BandId, Session
from api.storage.faults import NotFoundError
from api.storage.records import EventRecord, Kept
from planner.errors import RequestError
from planner.event.checks import check_event
from planner.event.event import Entry, Event, LineUp, Set, Setting
from planner.event.timetable import EventTimetable, time_event
from planner.findings import Finding, Gravity
from planner.marks.marks import Move
from planner.marks.what_it_takes import WhatItTakes, what_it_takes
from planner.plan import TunePlan

NOTHING_SETTLED = Choices((), ())


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
        """True when nothing is refused, no mark in conflict, none waiting for the drums' word."""
        is_refused = any(finding.gravity is Gravity.REFUSE for finding in self.findings)
        return not is_refused and all(
            plan.is_ready_to_print
            for planned_set in self.planned.sets
            for plan in planned_set.plans
        )


@dataclass(frozen=True, slots=True)
class NoPlan:
    """An event that cannot be planned, and why not in a sentence."""

    kept: Kept[EventRecord]
    problem: str


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


def plans_ahead(
    session: Session, band: BandId, today: date, most: int
) -> tuple[EventPlan | NoPlan, ...]:
    """The next events, planned as far as they can be; everything is fetched at once."""
    ahead = stored_events.events_ahead(session, band, today, most)
    if not ahead:
        return ()
    events = [kept.noun.event for kept in ahead]
    choices = choices_for_all(session, band, events)
    sets = _sets(session, band, events)
    shelf = _shelf(session, band, _tunes(session, band, sets.values()))
    return tuple(_as_far(kept, sets, shelf, choices[kept.noun.event.key]) for kept in ahead)


def _as_far(
    kept: Kept[EventRecord], sets: Mapping[str, Set], shelf: Shelf, choices: Choices
) -> EventPlan | NoPlan:
    try:
        return _event_plan(kept, sets, shelf, choices)
    except RequestError as error:
        return NoPlan(kept, str(error))


def _event_plan(
    kept: Kept[EventRecord], sets: Mapping[str, Set], shelf: Shelf, choices: Choices
) -> EventPlan:
    event = kept.noun.event
    desk = lay_out(event.setting, kept.noun.line_up, shelf, choices)
    music = {key: tune.tune for key, tune in shelf.tunes.items() if tune.tune is not None}
    planned_sets = tuple(
        _planned_set(desk, sets[item.set_key]) for item in event.items if item.set_key
    )
    timetable = time_event(event, sets, music, shelf.rulebook)
    standard = {key: tune.record.standard_setting for key, tune in shelf.tunes.items()}
    findings = check_event(event, sets, music, shelf.rulebook, kept.noun.line_up, standard)
    planned = _planned_event(kept, planned_sets, timetable, choices)
    return EventPlan(kept, planned, findings, choices, shelf, sets)


def sets_to_play(plan: EventPlan) -> tuple[PlannedSet, ...]:
    """The sets of an event as they are played from paper, within the occasion's ceiling."""
    record = plan.kept.noun
    desk = lay_out(record.event.setting, record.line_up, plan.shelf, plan.choices)
    return tuple(
        replace(
            one,
            entries=tuple(
                replace(each, plan=plan_within_ceiling(desk, each.entry)) for each in one.entries
            ),
        )
        for one in plan.planned.sets
    )


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
    desk = lay_out(setting, LineUp(), _shelf(session, band, (kept,)), NOTHING_SETTLED)
    return plan_entry(desk, Entry(kept.noun.record.key, tempo_bpm))


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
        own_rules=tuple(kept.noun for kept in own if not is_ruleset(kept.noun)),
        own_rulesets=tuple(kept.noun for kept in own if is_ruleset(kept.noun)),
        drum_scores=drum_scores_of(session, band, [kept.noun.record for kept in tunes]),
    )


def _planned_set(desk: Desk, planned: Set) -> PlannedSet:
    entries = tuple(
        PlannedEntry(
            entry=entry,
            plan=plan_entry(desk, entry),
            link=plan_link(desk, entry),
            drum_score=desk.shelf.drum_scores.get(entry.tune_key),
            parts_out=parts_not_played(desk, entry),
            standard_setting=desk.shelf.tunes[entry.tune_key].record.standard_setting,
        )
        for entry in planned.entries
    )
    return PlannedSet(planned, entries)


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
    record = plan.kept.noun
    desk = lay_out(record.event.setting, record.line_up, plan.shelf, plan.choices)
    ground = ground_of(desk, found.entry)
    said = found.plan
    return what_it_takes(ground.stage, ground.ranked, said.marks, said.left_out, index, move)


def plan_as(plan: EventPlan, entry: Entry, setting: Setting) -> TunePlan:
    """One tune of an event as the same players would play it on another occasion.

    What people settled for the event is left out, since they settled it for that occasion.

    Raises:
        RequestError: the tune has no music to plan.
    """
    record = plan.kept.noun
    told = record.event.setting
    same = replace(setting, control=told.control, circumstances=told.circumstances)
    return plan_entry(lay_out(same, record.line_up, plan.shelf, NOTHING_SETTLED), entry)


def ask_all(plan: EventPlan, tune_key: str, note_id: str) -> dict[Move, WhatItTakes]:
    """What stands in the way of every move on one note; nothing for a tune without notes.

    Raises:
        NotFoundError: no such tune in the event, or note in the tune.
    """
    library_tune = plan.shelf.tunes.get(tune_key)
    if library_tune is not None and library_tune.tune and not library_tune.tune.has_notes:
        return {}
    return {move: ask_at(plan, tune_key, note_id, move) for move in Move}


def _planned_event(
    kept: Kept[EventRecord],
    sets: tuple[PlannedSet, ...],
    timetable: EventTimetable,
    choices: Choices,
) -> PlannedEvent:
    agreements = tuple(
        AgreementMade(
            each.tune_key, each.address, each.is_agreed, each.who, each.agreed_at, each.remark
        )
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
