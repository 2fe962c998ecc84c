"""How is this event played? Everything is fetched, planned by the engine, and remembered.

``plan_of_event`` gives an ``EventPlan``: the ``PlannedEvent`` that pages and sheets are made from,
and the findings of the event's sums. ``plan_of_tune`` plans one tune of the library for any
setting. A plan is remembered by everything it depends on, so that nothing stale is ever shown.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from api.actions.choices import Choices, choices_for
from api.actions.events import check_setting, one_event
from api.actions.memo import Memo
from api.actions.reading import LibraryTune
from api.actions.rules import own_rules, with_own_rules
from api.actions.tunes import one_tune, with_music
from api.display.planned import AgreementMade, PlannedEntry, PlannedEvent, PlannedSet
from api.storage import sets as stored_sets
from api.storage import tunes as stored_tunes
from api.storage.database import BandId, Session
from api.storage.records import EventRecord, Kept, OwnRule, Settled
from planner.errors import RequestError
from planner.event.checks import check_event
from planner.event.event import Entry, Event, Set, Setting
from planner.event.timetable import EventTimetable, time_event
from planner.findings import Finding
from planner.marks.marks import Agreement, Mark
from planner.music.tune import Tune
from planner.plan import TunePlan, plan_tune
from planner.rules.rulebook import RuleBook

# How many plans are remembered? A season's events have fewer entries than this.
_plans = Memo[TunePlan](limit=400)

SAME_MS, SAME_BPM = 1.0, 0.5
"""How far may a mark and its tempo move before it must be agreed again? Below anyone's notice."""


@dataclass(frozen=True, slots=True)
class EventPlan:
    """An event as planned: what sheets are made from, and what a pipe-major should know."""

    kept: Kept[EventRecord]
    planned: PlannedEvent
    findings: tuple[Finding, ...]
    choices: Choices

    @property
    def event(self) -> Kept[Event]:
        """The event without its line-up."""
        kept = self.kept
        return Kept(kept.id, kept.version, kept.changed_at, kept.noun.event)

    @property
    def is_ready_to_print(self) -> bool:
        """True when no mark waits to be agreed, and none was refused."""
        open_ends = (Agreement.TO_BE_AGREED, Agreement.REFUSED)
        return not any(
            mark.agreement in open_ends
            for planned_set in self.planned.sets
            for plan in planned_set.plans
            for mark in plan.marks
        )


@dataclass(frozen=True, slots=True)
class Desk:
    """Everything a plan is made from, fetched."""

    setting: Setting
    tunes: Mapping[str, LibraryTune]
    rulebook: RuleBook
    own_rules: tuple[OwnRule, ...]
    agreements: tuple[Settled, ...] = ()


def plan_of_event(session: Session, band: BandId, number: int) -> EventPlan:
    """An event with a plan for every tune, its timetable and its findings.

    Raises:
        NotFoundError: the band has no such event.
        RequestError: a tune has no music to plan, or an amount cannot be reckoned with.
    """
    kept = one_event(session, band, number)
    event = kept.noun.event
    sets = _sets(session, band, kept.noun)
    choices = choices_for(session, band, event)
    desk = _desk(session, band, event.setting, sets.values(), choices.agreements)
    music = {key: tune.tune for key, tune in desk.tunes.items() if tune.tune is not None}
    planned_sets = tuple(
        _planned_set(desk, sets[item.set_key]) for item in event.items if item.set_key
    )
    timetable = time_event(event, sets, music, desk.rulebook)
    findings = check_event(event, sets, music, desk.rulebook, kept.noun.line_up)
    planned = _planned_event(kept, planned_sets, timetable, choices)
    return EventPlan(kept, planned, findings, choices)


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
    tunes = {kept.noun.record.key: kept.noun}
    desk = Desk(setting, tunes, *_rules(session, band))
    return _plan(desk, Entry(kept.noun.record.key, tempo_bpm))


def _sets(session: Session, band: BandId, record: EventRecord) -> dict[str, Set]:
    numbers = sorted({int(item.set_key) for item in record.event.items if item.set_key})
    return stored_sets.sets_by_number(session, band, numbers) if numbers else {}


def _desk(
    session: Session,
    band: BandId,
    setting: Setting,
    sets: Iterable[Set],
    agreements: tuple[Settled, ...],
) -> Desk:
    numbers = sorted({int(entry.tune_key) for each in sets for entry in each.entries})
    kept = tuple(stored_tunes.tunes_by_number(session, band, numbers).values()) if numbers else ()
    tunes = {each.noun.record.key: each.noun for each in with_music(session, band, kept)}
    return Desk(setting, tunes, *_rules(session, band), agreements)


def _rules(session: Session, band: BandId) -> tuple[RuleBook, tuple[OwnRule, ...]]:
    own = own_rules(session, band)
    return with_own_rules(own), tuple(kept.noun for kept in own)


def _planned_set(desk: Desk, planned: Set) -> PlannedSet:
    entries = tuple(PlannedEntry(entry, _plan(desk, entry)) for entry in planned.entries)
    return PlannedSet(planned, entries)


def _plan(desk: Desk, entry: Entry) -> TunePlan:
    library_tune = desk.tunes[entry.tune_key]
    tune = library_tune.tune
    if tune is None:
        title = library_tune.record.title
        raise RequestError("tune", f"“{title}” has no music to plan", "upload its file again")
    key = _identity(desk, library_tune, entry)
    plan = _plans.get(key, lambda: _plan_now(desk, tune, entry))
    return _with_agreements(plan, entry.tune_key, desk.agreements)


def _identity(desk: Desk, library_tune: LibraryTune, entry: Entry) -> Hashable:
    """Everything the plan depends on: the music, the band's words, the setting, the rules."""
    return (library_tune.record, desk.setting, desk.own_rules, entry.tempo_bpm)


def _plan_now(desk: Desk, tune: Tune, entry: Entry) -> TunePlan:
    return plan_tune(tune, desk.setting, desk.rulebook, tempo_bpm=entry.tempo_bpm)


def _with_agreements(plan: TunePlan, tune_key: str, outcomes: Sequence[Settled]) -> TunePlan:
    of_tune = [outcome for outcome in outcomes if outcome.tune_key == tune_key]
    if not of_tune:
        return plan
    bpm = plan.analysis.tempo.bpm
    return replace(plan, marks=tuple(_settled(mark, bpm, of_tune) for mark in plan.marks))


def _settled(mark: Mark, bpm: float, outcomes: Sequence[Settled]) -> Mark:
    """The mark with the latest word on it, when one was spoken on just this mark."""
    if mark.agreement is not Agreement.TO_BE_AGREED:
        return mark
    spoken = [outcome for outcome in outcomes if _is_about(outcome, mark, bpm)]
    if not spoken:
        return mark
    word = Agreement.AGREED if spoken[-1].is_agreed else Agreement.REFUSED
    return replace(mark, agreement=word)


def _is_about(outcome: Settled, mark: Mark, bpm: float) -> bool:
    return (
        outcome.address == mark.place.address
        and outcome.move == mark.move
        and abs(outcome.ms - mark.ms) < SAME_MS
        and abs(outcome.tempo_bpm - bpm) < SAME_BPM
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
