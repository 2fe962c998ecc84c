"""What are the sheets of an event made from? All of it is fetched here, at one moment."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from api.actions.faults import NotToBePrintedError
from api.actions.paper_version import made_of
from api.actions.people import all_people, one_person
from api.actions.planning import EventPlan, plan_of_event, sets_to_play
from api.actions.sums import street_of_plan
from api.actions.tunes import file_of_tune, one_tune
from api.actions.who import minimum_of
from api.display.pages.set_entered import contest_lines
from api.display.planned import PlannedEntry, PlannedEvent, PlannedSet
from api.storage.database import BandId, Session
from api.storage.records import NewFile, TuneRecord
from planner.errors import RequestError
from planner.event.event import Instrument, Person
from planner.event.sound import SoundDose, cautions
from planner.event.sums import dose_of_event
from planner.findings import Gravity
from planner.rules.rulebook import RuleBook


@dataclass(frozen=True, slots=True)
class PrintOrder:
    """An event as planned, and what its sheets need besides.

    ``scans`` are the attached files of the tunes without notes; ``unpermitted`` are the tunes
    that have no note on whether their setting may be copied. Both go by tune key. ``made_of``
    changes with whatever the paper is made from. ``played_from`` are the sets without the marks by
    hand above the occasion's ceiling: those stay on the drum sheet, as conflicts.
    """

    number: int
    planned: PlannedEvent
    scans: Mapping[str, NewFile]
    unpermitted: frozenset[str] = frozenset()
    reader: Person | None = None
    made_of: str = ""
    played_from: tuple[PlannedSet, ...] = ()

    @property
    def to_play(self) -> PlannedEvent:
        """The event as it is played from paper."""
        return replace(self.planned, sets=self.played_from or self.planned.sets)

    @property
    def entries(self) -> tuple[PlannedEntry, ...]:
        """Every tune of every set, in playing order, as it is played from paper."""
        return tuple(each for one in self.to_play.sets for each in one.entries)


def take_order(
    session: Session, band: BandId, number: int, person: int | None = None
) -> PrintOrder:
    """Fetch and plan an event; with a ``person`` the cards are that player's own.

    Raises:
        NotFoundError: the band has no such event or person.
        RequestError: a tune has no music to plan, or the person does not play at the event.
    """
    plan = plan_of_event(session, band, number)
    book = plan.shelf.rulebook
    planned = replace(
        plan.planned,
        street=street_of_plan(plan),
        minimum=minimum_of(plan.planned.event, plan.sets, book),
        dose=_dose(plan, book),
        contest=_contest(plan, book),
        maybe=_maybe(session, band, plan),
        findings=plan.findings,
        cautions=cautions(book),
    )
    reader = None if person is None else _reader(session, band, person, planned)
    records = {key: tune.record for key, tune in plan.shelf.tunes.items()}
    unpermitted = frozenset(key for key, record in records.items() if not record.permission.strip())
    scans = _scans(session, band, planned, records)
    return PrintOrder(
        number, planned, scans, unpermitted, reader, made_of(plan), sets_to_play(plan)
    )


def check_printable(order: PrintOrder) -> None:
    """Stop what would be played from paper while something stands against playing it at all.

    Raises:
        NotToBePrintedError: a finding of the event is one that blocks.
    """
    for finding in order.planned.findings:
        if finding.gravity is Gravity.REFUSE:
            raise NotToBePrintedError(order.planned.event.name, finding)


def settings_without_permission(session: Session, band: BandId, number: int) -> tuple[str, ...]:
    """The titles to ask about before the music of an event is printed, in playing order.

    Raises:
        NotFoundError, RequestError: as ``take_order``.
    """
    return unnoted_titles(plan_of_event(session, band, number))


def unnoted_titles(plan: EventPlan) -> tuple[str, ...]:
    """The titles of a planned event to ask about, in playing order."""
    played = (entry.tune_key for one in plan.planned.sets for entry in one.set.entries)
    records = [plan.shelf.tunes[key].record for key in dict.fromkeys(played)]
    return tuple(dict.fromkeys(each.title for each in records if not each.permission.strip()))


def titles_without_permission(session: Session, band: BandId, number: int) -> tuple[str, ...]:
    """The title of a tune to ask about before its music is printed; nothing where it is noted.

    Raises:
        NotFoundError: the band has no such tune.
    """
    record = one_tune(session, band, number).noun.record
    return () if record.permission.strip() else (record.title,)


def _contest(plan: EventPlan, book: RuleBook) -> tuple[str, ...]:
    timetable = plan.planned.timetable
    return contest_lines(plan.planned.event, timetable, plan.sets, book) if timetable else ()


def _dose(plan: EventPlan, book: RuleBook) -> SoundDose | None:
    timetable = plan.planned.timetable
    return dose_of_event(plan.planned.event, timetable, book) if timetable else None


def _maybe(session: Session, band: BandId, plan: EventPlan) -> dict[Instrument, int]:
    undecided = {each.person_key for each in plan.kept.noun.answers if each.answer == "maybe"}
    people = [kept.noun for kept in all_people(session, band) if kept.noun.key in undecided]
    return {one: sum(each.instrument is one for each in people) for one in Instrument}


def _reader(session: Session, band: BandId, number: int, planned: PlannedEvent) -> Person:
    person = one_person(session, band, number).noun
    if person.key not in {each.key for each in planned.line_up.people}:
        raise RequestError(
            "person", f"{person.name} is not in the line-up", "settle the line-up, then print"
        )
    return person


def _scans(
    session: Session, band: BandId, planned: PlannedEvent, records: Mapping[str, TuneRecord]
) -> dict[str, NewFile]:
    tunes = (each for one in planned.sets for each in one.entries if not each.tune.has_notes)
    return {
        key: file_of_tune(session, band, int(key), "attachment")
        for key in dict.fromkeys(each.entry.tune_key for each in tunes)
        if records[key].attachment is not None
    }
