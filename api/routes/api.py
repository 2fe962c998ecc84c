"""Which nouns can programs speak of? One router for each, all below ``/api``.

Every answer that is not a success is a problem document (RFC 9457), and says so in the schema.
"""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter
from pydantic import BaseModel

from api.errors import PROBLEM_TYPE
from api.routes import (
    band,
    choices,
    compare,
    contest_rules,
    dances,
    day,
    events,
    fill,
    lists,
    people,
    plans,
    played,
    readiness,
    rules,
    sets,
    sums,
    tunes,
    who,
)
from api.routes.later import put_together

NOUNS = (
    band, tunes, sets, people, events, choices, compare, plans, played, readiness, rules,
    sums, who, lists, day, fill, contest_rules, dances,
)  # fmt: skip


class FieldProblem(BaseModel):
    """What is wrong with one field."""

    field: str
    detail: str


class ProblemDocument(BaseModel):
    """What went wrong: ``detail`` is one sentence, ``errors`` names the fields."""

    type: str
    title: str
    status: int
    detail: str
    errors: tuple[FieldProblem, ...] = ()


def _responses() -> dict[int | str, dict[str, Any]]:
    schema = ProblemDocument.model_json_schema(ref_template="#/components/schemas/{model}")
    schema["properties"]["errors"]["items"] = schema.pop("$defs")["FieldProblem"]
    problem = {"description": "A problem", "content": {PROBLEM_TYPE: {"schema": schema}}}
    return {"default": problem}


def json_router() -> APIRouter:
    """The whole JSON interface, put together now."""
    return put_together((noun.router for noun in NOUNS), responses=_responses())
