"""Who and when: who comes to an event, are they enough, and who cannot play what?"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from api.actions.events import one_event
from api.actions.people import all_people
from api.actions.planning import EventPlan
from api.actions.readiness import Gap, gap_finding, gaps_of, tunes_played
from api.actions.rules import rulebook_of
from api.storage.database import BandId, Session
from api.storage.readiness import list_readiness
from api.storage.records import EventRecord, Kept
from api.storage.sets import sets_by_number
from api.storage.tunes import tunes_by_number
from planner.event.contest.rulesets import find_ruleset
from planner.event.event import Event, Instrument, Occasion, Person, Set
from planner.event.who import (
    HeadCount,
    RungAdvice,
    advise_rung,
    check_answers,
    check_heads,
    count_heads,
)
from planner.findings import Finding
from planner.licence.limits import HIGHEST_RUNG
from planner.rules.rulebook import RuleBook


@dataclass(frozen=True, slots=True)
class WhoAndWhen:
    """Who comes to an event. ``titles`` by tune key in playing order, ``outs`` by tune key.

    ``silent`` are those who have said nothing, ``undecided`` those who said maybe.
    """

    kept: Kept[EventRecord]
    counts: tuple[HeadCount, ...]
    silent: tuple[Person, ...]
    undecided: tuple[Person, ...]
    learners: tuple[Person, ...]
    titles: Mapping[str, str]
    outs: Mapping[str, tuple[Person, ...]]
    rungs: tuple[RungAdvice, ...]
    gaps: tuple[Gap, ...]
    findings: tuple[Finding, ...]


def who_and_when(session: Session, band: BandId, number: int, today: date) -> WhoAndWhen:
    """Counts, outs, gaps, rungs and open answers of an event.

    Raises:
        NotFoundError: the band has no such event.
    """
    kept = one_event(session, band, number)
    event, line_up = kept.noun.event, kept.noun.line_up
    people = [each.noun for each in all_people(session, band)]
    said = {each.person_key: each.answer for each in kept.noun.answers}
    sets = _sets(session, band, event)
    titles = _titles(session, band, tunes_played(event, sets))
    gaps = gaps_of(kept.noun, tuple(titles), list_readiness(session, band, titles))
    needed = minimum_of(event, sets, rulebook_of(session, band))
    counts = count_heads(people, said, needed)
    silent = tuple(person for person in people if person.key not in said)
    undecided = tuple(person for person in people if said.get(person.key) == "maybe")
    open_names = [person.name for person in (*silent, *undecided)]
    return WhoAndWhen(
        kept=kept,
        counts=counts,
        silent=silent,
        undecided=undecided,
        learners=tuple(person for person in line_up.people if person.is_learner),
        titles=titles,
        outs={key: line_up.who_is_out(key) for key in titles if line_up.who_is_out(key)},
        rungs=tuple(advise_rung(event.setting, line_up, key) for key in titles),
        gaps=gaps,
        findings=(
            *check_heads(counts),
            *(gap_finding(gap, titles[gap.tune_key]) for gap in gaps),
            *check_answers(event, open_names, today),
        ),
    )


def gaps_of_plan(session: Session, band: BandId, plan: EventPlan) -> tuple[Gap, ...]:
    """Who of the line-up cannot play what at an event that is planned."""
    played = tunes_played(plan.planned.event, plan.sets)
    return gaps_of(plan.kept.noun, played, list_readiness(session, band, played))


def gap_findings(plan: EventPlan, gaps: Iterable[Gap]) -> tuple[Finding, ...]:
    """Who cannot play what, as findings of an event that is planned."""
    tunes = plan.shelf.tunes
    return tuple(gap_finding(gap, tunes[gap.tune_key].record.title) for gap in gaps)


def rungs_of_plan(plan: EventPlan) -> tuple[Finding, ...]:
    """Which tunes carry no marks because of who plays them; silent where the event has a rung."""
    record = plan.kept.noun
    setting = record.event.setting
    if setting.control.rung is not None:
        return ()
    advised = (
        (key, advise_rung(setting, record.line_up, key))
        for key in tunes_played(plan.planned.event, plan.sets)
    )
    tunes = plan.shelf.tunes
    return tuple(
        Finding("rung_of_line_up", f"{advice.reason} It carries no marks.", tunes[key].record.title)
        for key, advice in advised
        if advice.rung is not None and advice.rung < HIGHEST_RUNG
    )


def minimum_of(event: Event, sets: Mapping[str, Set], book: RuleBook) -> dict[Instrument, int]:
    """What the rules of these sets ask for at a competition, the most of each instrument."""
    needed: dict[Instrument, int] = {}
    if event.setting.occasion is not Occasion.COMPETITION:
        return needed
    for name in {each.ruleset for each in sets.values() if each.ruleset}:
        for instrument, count in find_ruleset(name, book).minimum.items():
            needed[instrument] = max(count, needed.get(instrument, 0))
    return needed


def titles_played(session: Session, band: BandId, event: Event) -> dict[str, str]:
    """The titles of what is played at an event, by tune key in playing order."""
    return _titles(session, band, tunes_played(event, _sets(session, band, event)))


def _sets(session: Session, band: BandId, event: Event) -> dict[str, Set]:
    numbers = sorted({int(item.set_key) for item in event.items if item.set_key})
    return sets_by_number(session, band, numbers) if numbers else {}


def _titles(session: Session, band: BandId, keys: tuple[str, ...]) -> dict[str, str]:
    numbers = sorted(map(int, keys))
    found = tunes_by_number(session, band, numbers) if numbers else {}
    return {key: found[key].noun.title for key in keys if key in found}
