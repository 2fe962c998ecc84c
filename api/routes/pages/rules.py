"""The rule book for reading: why the licence is what it is, and the band's own values."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import Query
from fastapi.responses import Response

from api.actions import rules as act
from api.display.form import FormView
from api.display.pages.licence_table import licence_table
from api.display.pages.rules import OneRuleView, one_rule_view, rule_form, rules_view
from api.routes.later import LaterRouter
from api.routes.pages.typed import Typed, TypedDep
from api.routes.pages.visit import Visit, VisitDep
from api.routes.rules import OwnValueForm
from planner.errors import RequestError
from planner.event.event import Circumstance
from planner.rules.load import load_rulebook
from planner.rules.rulebook import Quantity, Value

router = LaterRouter(prefix="/rules")

PAGE = "pages/rule.html"


@router.get("")
def rules(
    visit: VisitDep,
    idiom: Annotated[str, Query(max_length=30)] = "",
    circumstance: Annotated[list[Circumstance] | None, Query()] = None,
    rung: Annotated[Literal["", "1", "2", "3", "4"], Query()] = "",
) -> Response:
    """The licence matrix, and every value with its source.

    With an ``idiom`` the matrix is that of these players under these circumstances.
    """
    own = act.rulebook_of(visit.session, visit.band)
    if idiom and idiom.replace(" ", "_") not in own.names("idioms"):
        raise RequestError("idiom", f"“{idiom}” is no idiom", "choose one of the list")
    held = circumstance or []
    table = licence_table(idiom or "march", held, int(rung) if rung else None, own)
    ticked = tuple(each.value for each in held)
    form = FormView("/rules", {"idiom": (idiom,), "circumstance": ticked, "rung": (rung,)})
    view = rules_view(load_rulebook(), own)
    return visit.show("pages/rules.html", view=view, table=table, form=form, is_asked=bool(idiom))


@router.get("/{key:path}")
def rule(key: str, visit: VisitDep) -> Response:
    """One rule: what it says, who says so, and the form for a value of the band's own."""
    holding, version = act.one_rule(visit.session, visit.band, key)
    return visit.show(PAGE, view=_view(visit, key, version), form=rule_form(holding, version))


@router.post("/{key:path}")
def set_rule(key: str, visit: VisitDep, typed: TypedDep) -> Response:
    """Put the band's own value in place of the book's, or let the book's hold again."""
    holding, version = act.one_rule(visit.session, visit.band, key)
    address = f"/rules/{key}"
    view = _view(visit, key, version)
    visit.expects(PAGE, typed.form(address, address), ("value", "set_by"), view=view)
    if typed.text("do") == "back":
        act.drop_own_rule(visit.session, visit.band, key, typed.seen_version())
        return visit.go(address, "back")
    own = OwnValueForm.model_validate(
        {"value": value_of(holding, typed), "set_by": typed.text("set_by")}
    )
    value = tuple(own.value) if isinstance(own.value, list) else own.value
    seen = typed.seen_version()
    act.set_own_rule(visit.session, visit.band, key, value, own.set_by, seen)
    return visit.go(address, "saved")


def value_of(rule: Quantity, typed: Typed) -> Value | list[float | str]:
    """What was typed, as a value of the rule's kind.

    Raises:
        RequestError: it is no number where one is needed.
    """
    text = typed.text("value")
    if isinstance(rule.value, bool):
        return text == "yes"
    if isinstance(rule.value, str):
        return text
    if isinstance(rule.value, tuple):
        parts = [part.strip() for part in text.split(",") if part.strip()]
        return [_number(part) if isinstance(rule.value[0], int | float) else part for part in parts]
    return _number(text)


def _number(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        problem = f"“{text[:30]}” is not a number"
        raise RequestError("value", problem, "write one such as 35") from None


def _view(visit: Visit, key: str, version: int) -> OneRuleView:
    return one_rule_view(key, load_rulebook(), act.rulebook_of(visit.session, visit.band), version)
