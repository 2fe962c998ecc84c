"""What of the next events is not ready, and why? Everything is fetched at once, however many.

An event that cannot be planned does not hide the others: it says why it cannot.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from api.actions.planning import EventPlan, plans_ahead
from api.actions.print_order import unnoted_titles
from api.actions.readiness import gaps_of, tunes_played
from api.actions.who import gap_findings, rungs_of_plan
from api.storage.database import BandId, Session
from api.storage.people import list_people
from api.storage.readiness import list_readiness
from api.storage.records import EventRecord, Kept, Learnt
from planner.event.event import Person
from planner.event.who import check_answers
from planner.findings import Finding


@dataclass(frozen=True, slots=True)
class Ahead:
    """One of the next events: its plan, or the problem that keeps it from being planned."""

    kept: Kept[EventRecord]
    plan: EventPlan | None
    findings: tuple[Finding, ...] = ()
    problem: str = ""


def events_ahead(session: Session, band: BandId, today: date, most: int) -> tuple[Ahead, ...]:
    """The next events, each with everything that stands between it and its sheets."""
    plans = plans_ahead(session, band, today, most)
    made = [each for each in plans if isinstance(each, EventPlan)]
    tunes = {key for plan in made for key in tunes_played(plan.planned.event, plan.sets)}
    learnt = list_readiness(session, band, tunes) if tunes else ()
    people = (
        tuple(each.noun for each in list_people(session, band)) if _is_late(made, today) else ()
    )
    return tuple(
        Ahead(each.kept, each, open_points(each, learnt, people, today))
        if isinstance(each, EventPlan)
        else Ahead(each.kept, None, problem=each.problem)
        for each in plans
    )


def open_points(
    plan: EventPlan, learnt: Iterable[Learnt], people: Iterable[Person], today: date
) -> tuple[Finding, ...]:
    """Everything a pipe-major should know of an event, from conflicts to missing permissions."""
    record = plan.kept.noun
    played = tunes_played(record.event, plan.sets)
    said = {each.person_key: each.answer for each in record.answers}
    undecided = [each.name for each in people if said.get(each.key, "maybe") == "maybe"]
    return (
        *plan.findings,
        *rungs_of_plan(plan),
        *gap_findings(plan, gaps_of(record, played, learnt)),
        *check_answers(record.event, undecided, today),
        *permissions_missing(plan),
    )


def permissions_missing(plan: EventPlan) -> tuple[Finding, ...]:
    """The tunes whose music may not be copied yet, as far as anybody has noted."""
    text = "no permission to copy this setting is noted, so printing its music asks first."
    return tuple(Finding("no_permission", text, title) for title in unnoted_titles(plan))


def _is_late(plans: Iterable[EventPlan], today: date) -> bool:
    """True when somebody's answer may be late: only then everybody has to be asked about."""
    closing = [plan.planned.event.answers_by for plan in plans]
    return any(day is not None and day < today for day in closing)
