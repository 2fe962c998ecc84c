"""Plans over HTTP: one tune for any occasion, or a whole event."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any

from fastapi import Query, Response

from api.actions.last_print import since_last_print
from api.actions.planning import EventPlan, plan_of_event, plan_of_tune
from api.dependencies import BandDep, SessionDep
from api.display.documents.plan import plan_document
from api.display.own_bars import altered_bar
from api.display.paper.drum_sheet import drum_sheet_view
from api.display.planned import PlannedEntry
from api.routes.etag import tag
from api.routes.event_forms import ControlForm, EventAnswer, SettingForm, event_answer
from api.routes.form import Answer, FindingAnswer, RowNumber, TempoBpm
from api.routes.later import LaterRouter
from api.routes.tune_forms import finding_answers
from planner.event.event import Circumstance, Drums, Occasion, Sort
from planner.event.timetable import EventTimetable, Slot

router = LaterRouter(tags=["plans"])


class TurnAnswer(Answer):
    """A part when its turn comes, the last time through, and how often it is played then."""

    part: int
    times: int


class BarAnswer(Answer):
    """A bar by part, number and ending."""

    part: int
    bar: int
    ending: int


class PlannedEntryAnswer(Answer):
    """A tune of a set with its plan, in the shape of ``pacestick plan --json``.

    ``turns`` are its parts in playing order, ``altered_bar`` is the last bar where it is the set's
    own, ``link`` the plan of the bars that lead to the next tune.
    """

    tune_key: str
    plan: dict[str, Any]
    turns: list[TurnAnswer]
    altered_bar: BarAnswer | None
    link: dict[str, Any] | None


class PlannedSetAnswer(Answer):
    """A set with a plan for every entry."""

    set_key: str
    number: int
    name: str
    entries: list[PlannedEntryAnswer]


class SlotAnswer(Answer):
    """An item of the running order with its time; ``start`` None after an open-ended item."""

    name: str
    set_key: str
    start: str | None
    end: str | None
    seconds: float
    is_open_ended: bool


class EventPlanAnswer(Answer):
    """An event as planned."""

    event: EventAnswer
    is_ready_to_print: bool
    seconds: float
    slots: list[SlotAnswer]
    sets: list[PlannedSetAnswer]
    findings: list[FindingAnswer]


class ChangeAnswer(Answer):
    """One thing said otherwise; ``what`` is empty for a tune that is new or gone."""

    tune: str
    what: str
    was: str
    is_now: str
    words: str


class SincePrintAnswer(Answer):
    """How the drum sheet differs from the last one printed; nothing does where none was."""

    is_printed: bool
    printed_at: datetime | None
    printed_version: int | None
    is_same: bool
    changes: list[ChangeAnswer]


@router.get("/events/{number}/plan")
def get_event_plan(
    number: RowNumber, session: SessionDep, band: BandDep, response: Response
) -> EventPlanAnswer:
    """Every tune of an event as it is played there, with the timetable and what to look at."""
    planned = plan_of_event(session, band, number)
    tag(response, planned.kept.version)
    return event_plan_answer(planned)


@router.get("/tunes/{number}/plan")
def get_tune_plan(
    number: RowNumber,
    session: SessionDep,
    band: BandDep,
    occasion: Occasion,
    sort: Sort | None = None,
    drums: Drums = Drums.FULL,
    rung: Annotated[int | None, Query(ge=1, le=4)] = None,
    measured_sd_ms: Annotated[float | None, Query(gt=0, le=200)] = None,
    circumstance: Annotated[list[Circumstance] | None, Query()] = None,
    tempo_bpm: TempoBpm | None = None,
) -> dict[str, Any]:
    """One tune as it is played on an occasion, in the shape of ``pacestick plan --json``."""
    form = SettingForm(
        occasion=occasion,
        sort=sort,
        drums=drums,
        control=ControlForm(rung=rung, measured_sd_ms=measured_sd_ms),
        circumstances=tuple(circumstance or ()),
    )
    return plan_document(plan_of_tune(session, band, number, form.setting(), tempo_bpm))


@router.get("/events/{number}/since-last-print")
def get_since_last_print(
    number: RowNumber, session: SessionDep, band: BandDep, response: Response
) -> SincePrintAnswer:
    """What the drum sheet says otherwise than when it was printed last, as data and in words."""
    planned = plan_of_event(session, band, number)
    tag(response, planned.kept.version)
    found = since_last_print(session, band, number, drum_sheet_view(planned.planned))
    printed = found.printed
    return SincePrintAnswer(
        is_printed=printed is not None,
        printed_at=printed.printed_at if printed else None,
        printed_version=printed.event_version if printed else None,
        is_same=not found.changes,
        changes=[
            ChangeAnswer(tune=c.tune, what=c.what, was=c.was, is_now=c.is_now, words=c.words)
            for c in found.changes
        ],
    )


def event_plan_answer(planned: EventPlan) -> EventPlanAnswer:
    """An event's plan as it is read back."""
    timetable = planned.planned.timetable
    return EventPlanAnswer(
        event=event_answer(planned.event),
        is_ready_to_print=planned.is_ready_to_print,
        seconds=timetable.seconds if timetable else 0.0,
        slots=_slots(timetable),
        sets=[
            PlannedSetAnswer(
                set_key=each.set.key,
                number=each.set.number,
                name=each.set.name,
                entries=[_entry(entry) for entry in each.entries],
            )
            for each in planned.planned.sets
        ],
        findings=finding_answers(planned.findings),
    )


def _entry(each: PlannedEntry) -> PlannedEntryAnswer:
    altered = altered_bar(each.tune)
    return PlannedEntryAnswer(
        tune_key=each.entry.tune_key,
        plan=plan_document(each.plan),
        turns=[TurnAnswer(part=turn.part, times=len(turn.passes)) for turn in each.tune.turns],
        altered_bar=None
        if altered is None
        else BarAnswer(part=altered[0].number, bar=altered[1].number, ending=altered[1].ending),
        link=plan_document(each.link) if each.link else None,
    )


def _slots(timetable: EventTimetable | None) -> list[SlotAnswer]:
    return [_slot(slot) for slot in timetable.slots] if timetable else []


def _slot(slot: Slot) -> SlotAnswer:
    return SlotAnswer(
        name=slot.name,
        set_key=slot.item.set_key,
        start=slot.start.isoformat() if slot.start else None,
        end=slot.end.isoformat() if slot.end else None,
        seconds=slot.seconds,
        is_open_ended=slot.is_open_ended,
    )
