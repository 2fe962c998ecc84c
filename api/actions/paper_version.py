"""Which version of an event is on paper?

An event's own version counts the changes of the event. Its sheets are made from more: its sets,
the tunes and their files, the rules, the names of the line-up, what was settled about single
notes. The version on paper counts up whenever any of it has changed since something was printed
last, and never down; its time is when it was printed first. So two sheets of an event with the
same version say the same, and of two versions the older can be thrown away.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import fields, is_dataclass, replace
from typing import Any

from api.actions.own_rulesets import ruleset_of
from api.actions.planning import EventPlan
from api.display.planned import PlannedEvent
from api.storage.database import BandId, Database, Session
from api.storage.prints import add_print, last_print
from api.storage.records import OwnRule, Printed
from planner.event.contest.rulesets import ruleset_name

# Under which name is a version on paper kept, among the sheets that were printed?
ANY_SHEET = "version"


def made_of(plan: EventPlan) -> str:
    """What the paper of an event is made from, as 64 hexadecimal digits."""
    kept = plan.kept.noun
    tunes = {key: tune.record for key, tune in plan.shelf.tunes.items()}
    event = replace(kept.event, version=0)
    rules = (*plan.shelf.own_rules, *_rulesets(plan))
    said = (event, kept.line_up, kept.answers, plan.sets, tunes, rules, plan.choices)
    return hashlib.sha256(json.dumps(_plain(said)).encode()).hexdigest()


def _rulesets(plan: EventPlan) -> Iterator[OwnRule]:
    """The contest rules of the band's own that a set of the event is entered under."""
    entered = {ruleset_name(each.ruleset) for each in plan.sets.values() if each.ruleset}
    return (rule for rule in plan.shelf.own_rulesets if ruleset_of(rule).name in entered)


def with_version_on_paper(
    database: Database, band: BandId, planned: PlannedEvent, content: str
) -> PlannedEvent:
    """The event under its version on paper; a new one is counted if ``content`` is new."""
    number = int(planned.event.key)
    with database.reading() as session:
        last = last_print(session, band, number, ANY_SHEET)
    if last is None or last.content_hash != content:
        with database.writing() as session:
            last = _counted(session, band, planned, content)
            session.commit()
    event = replace(planned.event, version=last.event_version)
    return replace(planned, event=event, made_at=last.printed_at or planned.made_at)


def _counted(session: Session, band: BandId, planned: PlannedEvent, content: str) -> Printed:
    """The newest version, which somebody else may have counted a moment ago."""
    number = int(planned.event.key)
    last = last_print(session, band, number, ANY_SHEET)
    if last is not None and last.content_hash == content:
        return last
    after = last.event_version + 1 if last else 0
    version = max(planned.event.version, after)
    return add_print(session, band, Printed(str(number), ANY_SHEET, version, content))


def _plain(value: Any) -> Any:
    """A value as lists and texts that are the same in every process."""
    if is_dataclass(value):
        return [_plain(getattr(value, each.name)) for each in fields(value)]
    if isinstance(value, AbstractSet):
        return sorted(json.dumps(_plain(each)) for each in value)
    if isinstance(value, Mapping):
        return sorted([str(key), _plain(each)] for key, each in value.items())
    if isinstance(value, list | tuple):
        return [_plain(each) for each in value]
    return repr(value)
