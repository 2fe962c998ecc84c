"""What differs between two occasions of one tune, over HTTP? And what would one move take?"""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import Query

from api.actions.planning import ask_for, plan_of_tune
from api.dependencies import BandDep, SessionDep
from api.display.choices import KINDS
from api.display.documents.plan import mark_document
from api.routes.choices import BarNumber, Ending, PartNumber
from api.routes.form import Answer, RowNumber
from api.routes.later import LaterRouter
from planner.compare import compare_plans
from planner.errors import RequestError
from planner.event.event import Drums, Occasion, Setting, Sort
from planner.marks.marks import Move
from planner.music.tune import note_id

router = LaterRouter(tags=["plans"])

Kind = Annotated[str, Query(max_length=120, description="occasion:sort, such as parade:own-band")]


class LayerAnswer(Answer):
    """A layer whose level differs."""

    layer: str
    left: str
    right: str


class ChangedMarkAnswer(Answer):
    """A note that is marked on both occasions, and not alike."""

    left: dict[str, Any]
    right: dict[str, Any]


class DrumsAnswer(Answer):
    """What the drums hold to on either occasion."""

    left: str
    right: str


class ComparisonAnswer(Answer):
    """What differs between two occasions; ``words`` tells it from the left to the right."""

    is_same: bool
    layers: list[LayerAnswer]
    only_left: list[dict[str, Any]]
    only_right: list[dict[str, Any]]
    changed: list[ChangedMarkAnswer]
    drums: DrumsAnswer | None
    words: list[str]


class WhatItTakesAnswer(Answer):
    """Why a plan has not one move on one note; ``ms`` None: not even by hand."""

    is_made: bool
    why: str
    by_hand: str
    ms: float | None


@router.get("/tunes/{number}/compare")
def compare(
    number: RowNumber,
    session: SessionDep,
    band: BandDep,
    left: Kind = "parade:own-band",
    right: Kind = "exhibition:standing",
) -> ComparisonAnswer:
    """One tune on two occasions: layers, marks on one of them only, marks that differ."""
    before, after = (
        plan_of_tune(session, band, number, setting_of(kind)) for kind in (left, right)
    )
    found = compare_plans(before, after)
    return ComparisonAnswer(
        is_same=found.is_same,
        layers=[LayerAnswer(layer=name, left=a, right=b) for name, a, b in found.layers],
        only_left=[mark_document(mark) for mark in found.only_before],
        only_right=[mark_document(mark) for mark in found.only_after],
        changed=[
            ChangedMarkAnswer(left=mark_document(pair.before), right=mark_document(pair.after))
            for pair in found.changed
        ],
        drums=DrumsAnswer(left=found.drums[0], right=found.drums[1]) if found.drums else None,
        words=list(found.words),
    )


@router.get("/events/{number}/tunes/{tune}/what-it-takes")
def what_it_takes(
    number: RowNumber,
    tune: RowNumber,
    session: SessionDep,
    band: BandDep,
    part: PartNumber,
    bar: BarNumber,
    index: Annotated[int, Query(ge=0, le=200)],
    move: Move,
    ending: Ending = 0,
) -> WhatItTakesAnswer:
    """The binding reason for one move on one note, and whether it can be made by hand."""
    note = note_id(part, bar, ending, index)
    told = ask_for(session, band, number, str(tune), note, move)
    return WhatItTakesAnswer(is_made=told.is_made, why=told.why, by_hand=told.by_hand, ms=told.ms)


def setting_of(kind: str) -> Setting:
    """The setting of a choice such as ``parade:massed``, with players who command the beat.

    Raises:
        RequestError: there is no such choice.
    """
    if kind not in dict(KINDS):
        raise RequestError("occasion", f"there is no occasion “{kind[:40]}”", "choose one")
    occasion, sort = kind.split(":")
    drums = Drums.NONE if sort == Sort.SOLO else Drums.FULL
    return Setting(Occasion(occasion), Sort(sort), drums)
