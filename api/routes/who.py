"""Who and when, over HTTP: counts, outs, gaps, rungs and open answers of an event."""

from __future__ import annotations

from dataclasses import asdict
from datetime import date
from typing import Any

from fastapi import Response

from api.actions.who import who_and_when
from api.dependencies import BandDep, SessionDep
from api.routes.etag import tag
from api.routes.form import Answer, FindingAnswer, RowNumber
from api.routes.later import LaterRouter
from planner.event.event import Person

router = LaterRouter(prefix="/events", tags=["people"])


class NamedAnswer(Answer):
    """A person by key and name."""

    person_key: str
    name: str


class OutAnswer(Answer):
    """Who is out of a tune."""

    tune_key: str
    title: str
    out: list[NamedAnswer]


class WhoAnswer(Answer):
    """Who comes to an event."""

    answers_by: date | None
    counts: list[dict[str, Any]]
    silent: list[NamedAnswer]
    undecided: list[NamedAnswer]
    learners: list[NamedAnswer]
    outs: list[OutAnswer]
    rungs: list[dict[str, Any]]
    findings: list[FindingAnswer]


@router.get("/{number}/people")
def get_who(number: RowNumber, session: SessionDep, band: BandDep, response: Response) -> WhoAnswer:
    """Counts by instrument against the minimum, who is out of what, gaps, rungs, open answers."""
    who = who_and_when(session, band, number, date.today())
    tag(response, who.kept.version)
    return WhoAnswer(
        answers_by=who.kept.noun.event.answers_by,
        counts=[{**asdict(each), "missing": each.missing} for each in who.counts],
        silent=_named(who.silent),
        undecided=_named(who.undecided),
        learners=_named(who.learners),
        outs=[
            OutAnswer(tune_key=key, title=who.titles[key], out=_named(people))
            for key, people in who.outs.items()
        ],
        rungs=[asdict(advice) for advice in who.rungs],
        findings=[
            FindingAnswer(
                code=each.code, text=each.text, where=each.where, gravity=each.gravity.value
            )
            for each in who.findings
        ],
    )


def _named(people: tuple[Person, ...]) -> list[NamedAnswer]:
    return [NamedAnswer(person_key=person.key, name=person.name) for person in people]
