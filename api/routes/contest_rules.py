"""Contest rules over HTTP: every rule set on record, and the band's own to add and change."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any

from fastapi import Form as FormField
from fastapi import Response, UploadFile
from pydantic import Field

from api.actions import contest_rules as act
from api.actions.own_rulesets import ruleset_of
from api.actions.records import Kept, OwnRule
from api.actions.rules import rulebook_of
from api.dependencies import BandDep, SeenVersionDep, SessionDep
from api.display.rulesets import ruleset_row
from api.routes.etag import created, tag
from api.routes.form import Answer, Form, LineText, NameText, RowNumber
from api.routes.later import LaterRouter
from planner.event.contest.own_rulesets import OwnRuleset, read_ruleset
from planner.event.contest.rulesets import all_rulesets

router = LaterRouter(prefix="/contest-rules", tags=["contest rules"])

Count = Annotated[int, Field(ge=1, le=200)]
Players = Annotated[int, Field(ge=0, le=100)]
Window = Annotated[float, Field(gt=0, le=7_200, description="seconds")]
Words = Annotated[tuple[NameText, ...], Field(max_length=10)]


class RulesetForm(Form):
    """A set of contest rules of the band's own; what is left out is not asked.

    ``parts`` are the allowed numbers of parts of each tune type: ``4-4-4``, ``4-2-2``.
    """

    body: NameText
    year: Annotated[int, Field(ge=1900, le=2200)]
    grade: NameText
    element: NameText
    shortest: Window | None = None
    longest: Window | None = None
    sets: Count | None = None
    tune_types: Words = ()
    parts: Words = ()
    fewest_parts: Count | None = None
    most_parts: Count | None = None
    tunes: Count | None = None
    parts_in_all: Count | None = None
    march_metres: Words = ()
    clock_from: LineText = ""
    pipers: Players | None = None
    snares: Players | None = None
    tenors: Players | None = None
    basses: Players | None = None
    requires: LineText = ""
    source: LineText = ""
    set_by: NameText

    def ruleset(self) -> OwnRuleset:
        """The rule set as the engine knows it, checked as a whole."""
        said = {name: value for name, value in self if value is not None and name != "set_by"}
        return read_ruleset(said)


class OwnRulesetAnswer(Answer):
    """A set of contest rules of the band's own, under the name that sets give."""

    key: str
    version: int
    changed_at: datetime
    name: str
    set_by: str
    rules: dict[str, Any]


@router.get("")
def list_rulesets(session: SessionDep, band: BandDep) -> list[dict[str, Any]]:
    """Every rule set that holds for the band, the book's and its own, by name."""
    return [ruleset_row(rules) for rules in all_rulesets(rulebook_of(session, band))]


@router.get("/own")
def list_own_rulesets(session: SessionDep, band: BandDep) -> list[OwnRulesetAnswer]:
    """The band's own rule sets, by name."""
    return [_answer(kept) for kept in act.own_rulesets(session, band)]


@router.post("/own", status_code=201)
def add_ruleset(
    form: RulesetForm, session: SessionDep, band: BandDep, response: Response
) -> OwnRulesetAnswer:
    """Add a rule set of the band's own."""
    (kept,) = act.add_rulesets(session, band, (form.ruleset(),), form.set_by)
    created(response, f"/api/contest-rules/own/{kept.id}", kept.version)
    return _answer(kept)


@router.post("/own/file", status_code=201)
def add_rulesets_of_file(
    file: UploadFile,
    set_by: Annotated[NameText, FormField()],
    session: SessionDep,
    band: BandDep,
) -> list[OwnRulesetAnswer]:
    """Add the rule sets of a TOML file: all, or none."""
    content = file.file.read(act.MOST_BYTES + 1)
    return [_answer(kept) for kept in act.add_file(session, band, content, set_by)]


@router.get("/own/{number}")
def get_ruleset(
    number: RowNumber, session: SessionDep, band: BandDep, response: Response
) -> OwnRulesetAnswer:
    """One rule set of the band's own."""
    kept = act.one_ruleset(session, band, number)
    tag(response, kept.version)
    return _answer(kept)


@router.put("/own/{number}")
def change_ruleset(
    number: RowNumber,
    form: RulesetForm,
    session: SessionDep,
    band: BandDep,
    seen: SeenVersionDep,
    response: Response,
) -> OwnRulesetAnswer:
    """Change a rule set; sets that are entered under it stay so, also under a new name."""
    kept = act.change_ruleset(session, band, number, seen, form.ruleset(), form.set_by)
    tag(response, kept.version)
    return _answer(kept)


@router.delete("/own/{number}", status_code=204)
def remove_ruleset(
    number: RowNumber, session: SessionDep, band: BandDep, seen: SeenVersionDep
) -> None:
    """Remove a rule set that no set is entered under."""
    act.remove_ruleset(session, band, number, seen)


def _answer(kept: Kept[OwnRule]) -> OwnRulesetAnswer:
    ruleset = ruleset_of(kept.noun)
    return OwnRulesetAnswer(
        key=str(kept.id),
        version=kept.version,
        changed_at=kept.changed_at,
        name=ruleset.name,
        set_by=kept.noun.set_by,
        rules=ruleset.table(),
    )
