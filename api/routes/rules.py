"""The rule book over HTTP: what holds, why, and the band's own values."""

from __future__ import annotations

from typing import Annotated

from fastapi import Query, Response
from pydantic import Field

from api.actions import rules as act
from api.dependencies import BandDep, SeenVersionDep, SessionDep
from api.routes.etag import tag
from api.routes.form import Answer, Form, LineText, NameText
from api.routes.later import LaterRouter
from planner.rules.rulebook import Quantity

router = LaterRouter(prefix="/rules", tags=["rules"])

PlainValue = bool | int | float | Annotated[str, Field(max_length=300)]
ListValue = Annotated[
    list[int | float | Annotated[str, Field(max_length=300)]], Field(min_length=1, max_length=50)
]


class OwnValueForm(Form):
    """A value of the band's own, and who set it."""

    value: PlainValue | ListValue
    set_by: NameText


class RuleAnswer(Answer):
    """One rule as it holds for the band; ``own_version`` 0 while the book's value holds."""

    key: str
    value: PlainValue | list[int | float | str]
    unit: str
    low: float | None
    high: float | None
    source: str
    status: str
    since: str
    why: str
    set_by: LineText
    set_on: str
    own_version: int


@router.get("")
def list_rules(
    session: SessionDep,
    band: BandDep,
    below: Annotated[str, Query(max_length=200, description="such as idioms.march")] = "",
) -> list[RuleAnswer]:
    """Every rule, or those below a key, as they hold for the band."""
    versions = {kept.noun.key: kept.version for kept in act.own_rules(session, band)}
    book = act.rulebook_of(session, band)
    start = f"{below}." if below else ""
    return [
        _rule(rule, versions.get(key, act.THE_BOOK_HOLDS))
        for key, rule in book.quantities.items()
        if (key.startswith(start) or key == below) and key in act.the_book()
    ]


@router.get("/{key:path}")
def get_rule(key: str, session: SessionDep, band: BandDep, response: Response) -> RuleAnswer:
    """One rule as it holds for the band."""
    rule, version = act.one_rule(session, band, key)
    tag(response, version)
    return _rule(rule, version)


@router.put("/{key:path}")
def set_own_value(
    key: str,
    form: OwnValueForm,
    session: SessionDep,
    band: BandDep,
    seen: SeenVersionDep,
    response: Response,
) -> RuleAnswer:
    """Put a value of the band's own in place of the book's."""
    value = tuple(form.value) if isinstance(form.value, list) else form.value
    act.set_own_rule(session, band, key, value, form.set_by, seen)
    rule, version = act.one_rule(session, band, key)
    tag(response, version)
    return _rule(rule, version)


@router.delete("/{key:path}", status_code=204)
def drop_own_value(key: str, session: SessionDep, band: BandDep, seen: SeenVersionDep) -> None:
    """Let the book's value hold again."""
    act.drop_own_rule(session, band, key, seen)


def _rule(rule: Quantity, version: int) -> RuleAnswer:
    return RuleAnswer(
        key=rule.key,
        value=list(rule.value) if isinstance(rule.value, tuple) else rule.value,
        unit=rule.unit,
        low=rule.low,
        high=rule.high,
        source=rule.source,
        status=rule.status,
        since=rule.since,
        why=rule.why,
        set_by=rule.set_by,
        set_on=rule.set_on,
        own_version=version,
    )
