"""The pages of contest rules: every rule set on record, and the band's own to add and change."""

from __future__ import annotations

from typing import Any

from fastapi.responses import Response

from api.actions import contest_rules as act
from api.actions.own_rulesets import ruleset_of
from api.actions.records import Kept, OwnRule
from api.actions.rules import rulebook_of
from api.display.form import FormView
from api.display.rulesets import (
    CLOCKS,
    address_of,
    own_ruleset_view,
    ruleset_form,
    ruleset_line,
    rulesets_view,
)
from api.routes.contest_rules import RulesetForm
from api.routes.form import Form, NameText, RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.typed import Typed, TypedDep
from api.routes.pages.visit import Visit, VisitDep
from planner.errors import RequestError
from planner.event.contest.own_rulesets import KNOWN, TUNE_TYPES
from planner.event.contest.plain_values import read_seconds
from planner.event.contest.rulesets import all_rulesets

router = LaterRouter(prefix="/rules/contests")

ADDRESS = "/rules/contests"
NEW = f"{ADDRESS}/new"
LIST, FORM, ONE = "pages/contests.html", "pages/contest_new.html", "pages/contest.html"
FIELDS = (*KNOWN, "set_by")
LISTS = ("tune_types", "parts", "march_metres")
TIMES = ("shortest", "longest")
EXAMPLE = """[[ruleset]]
body = "Our association"
year = 2027
grade = "grade 4"
element = "march, strathspey and reel"
shortest = "3:00"      # or seconds; leave both away where there is no time limit
longest = "5:00"
sets = 1               # how many are submitted
tune_types = ["march", "strathspey", "reel"]
parts = ["4-4-4", "4-2-2"]
pipers = 6
snares = 2
basses = 1
clock_from = "first roll"
requires = "what else the body says, in a sentence"
source = "rule book of 2027, page 12"
"""


class SetBy(Form):
    """Who adds it."""

    set_by: NameText


@router.get("")
def contests(visit: VisitDep) -> Response:
    """Every set of contest rules: the band's own, and the rule book's."""
    return visit.show(LIST, form=FormView(f"{ADDRESS}/file"), **_all(visit))


@router.post("/file")
def add_contests(visit: VisitDep, typed: TypedDep) -> Response:
    """Add the rule sets of a TOML file: all, or none."""
    visit.expects(LIST, typed.form(f"{ADDRESS}/file"), ("file", "set_by"), **_all(visit))
    file = typed.file("file")
    if file is None:
        raise RequestError("file", "no file was chosen", "choose a TOML file")
    set_by = SetBy.model_validate({"set_by": typed.text("set_by")}).set_by
    act.add_file(visit.session, visit.band, file.file.read(act.MOST_BYTES + 1), set_by)
    return visit.go(ADDRESS, "added")


@router.get("/new")
def contest_new(visit: VisitDep) -> Response:
    """The form of a new rule set."""
    return visit.show(FORM, form=FormView(NEW), **_choices())


@router.post("/new")
def add_contest(visit: VisitDep, typed: TypedDep) -> Response:
    """A new rule set of the band's own."""
    visit.expects(FORM, typed.form(NEW), FIELDS, **_choices())
    form = checked(typed)
    act.add_rulesets(visit.session, visit.band, (form.ruleset(),), form.set_by)
    return visit.go(ADDRESS, "added")


@router.get("/{number}")
def contest(number: RowNumber, visit: VisitDep) -> Response:
    """One rule set of the band's own."""
    kept = act.one_ruleset(visit.session, visit.band, number)
    rules = ruleset_of(kept.noun)
    form = ruleset_form(rules, address_of(number), kept.version, kept.noun.set_by)
    return visit.show(ONE, form=form, **_around(kept))


@router.post("/{number}")
def change_contest(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Change a rule set of the band's own."""
    kept = act.one_ruleset(visit.session, visit.band, number)
    address = address_of(number)
    visit.expects(ONE, typed.form(address, address), FIELDS, **_around(kept))
    form = checked(typed)
    seen = typed.seen_version()
    act.change_ruleset(visit.session, visit.band, number, seen, form.ruleset(), form.set_by)
    return visit.go(address, "saved")


@router.post("/{number}/delete")
def remove_contest(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Remove a rule set that no set is entered under."""
    act.remove_ruleset(visit.session, visit.band, number, typed.seen_version())
    return visit.go(ADDRESS, "removed")


def checked(typed: Typed) -> RulesetForm:
    """What was typed, checked field by field."""
    said: dict[str, Any] = {name: typed.text(name) for name in FIELDS if typed.text(name)}
    for name in LISTS:
        if name in said:
            said[name] = [each.strip().lower() for each in said[name].split(",") if each.strip()]
    for name in TIMES:
        if name in said:
            said[name] = read_seconds(name, said[name])
    return RulesetForm.model_validate(said)


def _all(visit: Visit) -> dict[str, Any]:
    rulesets = all_rulesets(rulebook_of(visit.session, visit.band))
    by_name = {rules.name: rules for rules in rulesets}
    own = [
        ruleset_line(by_name[ruleset_of(kept.noun).name], address_of(kept.id), _said_by(kept))
        for kept in act.own_rulesets(visit.session, visit.band)
    ]
    return {"view": rulesets_view(rulesets, own), "example": EXAMPLE}


def _around(kept: Kept[OwnRule]) -> dict[str, Any]:
    rules = ruleset_of(kept.noun)
    view = own_ruleset_view(rules, kept.id, kept.version, _said_by(kept))
    return {"view": view, **_choices()}


def _choices() -> dict[str, Any]:
    return {"clocks": CLOCKS, "types": ", ".join(TUNE_TYPES)}


def _said_by(kept: Kept[OwnRule]) -> str:
    day = f" on {kept.noun.set_on.date().isoformat()}" if kept.noun.set_on else ""
    return f"added by {kept.noun.set_by}{day}"
