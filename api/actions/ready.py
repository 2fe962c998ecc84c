"""What of the next events is not ready, and why? Everything is fetched at once, however many.

An event that cannot be planned does not hide the others: it says why it cannot.
"""

from __future__ import annotations

from collections import Counter
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
from planner.event.event import Instrument, Person
from planner.event.who import check_answers
from planner.findings import Finding, Gravity

MOST_NAMED = 3
"""How many tunes or players are named before the rest is only counted?"""


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
        *nobody_plays(plan),
        *who_is_out(plan),
        *check_answers(record.event, undecided, today),
        *permissions_missing(plan),
    )


def permissions_missing(plan: EventPlan) -> tuple[Finding, ...]:
    """The tunes whose music may not be copied, as far as anybody has noted; many in one line."""
    titles = unnoted_titles(plan)
    if len(titles) > MOST_NAMED:
        named = ", ".join(f"“{title}”" for title in titles[:MOST_NAMED])
        text = (
            f"no permission to copy is noted for {named} and {len(titles) - MOST_NAMED} more, so "
            "printing their music asks first."
        )
        return (Finding("no_permission", text),)
    text = "no permission to copy this setting is noted, so printing its music asks first."
    return tuple(Finding("no_permission", text, title) for title in titles)


def nobody_plays(plan: EventPlan) -> tuple[Finding, ...]:
    """The tunes that no piper is left to play."""
    line_up = plan.kept.noun.line_up
    pipers = [each.key for each in line_up.people if each.instrument is Instrument.PIPES]
    return tuple(
        Finding(
            "nobody_plays", "every piper is out of this tune.", plan.shelf.tunes[key].record.title
        )
        for key in tunes_played(plan.planned.event, plan.sets)
        if pipers and all((who, key) in line_up.outs for who in pipers)
    )


def who_is_out(plan: EventPlan) -> tuple[Finding, ...]:
    """Who sits out how many tunes: good to know, and nothing to mend."""
    line_up = plan.kept.noun.line_up
    played = frozenset(tunes_played(plan.planned.event, plan.sets))
    counts = Counter(who for who, key in line_up.outs if key in played)
    said = [
        f"{each.name} is out of {counts[each.key]} tune{'s' if counts[each.key] != 1 else ''}"
        for each in line_up.people
        if counts[each.key]
    ]
    if not said:
        return ()
    others = len(said) - MOST_NAMED
    more = f"; {others} more {'is' if others == 1 else 'are'} out" if others > 0 else ""
    text = f"{', '.join(said[:MOST_NAMED])}{more}."
    return (Finding("players_out", text, gravity=Gravity.NOTE),)


def _is_late(plans: Iterable[EventPlan], today: date) -> bool:
    """True when somebody's answer may be late: only then everybody has to be asked about."""
    closing = [plan.planned.event.answers_by for plan in plans]
    return any(day is not None and day < today for day in closing)
