"""Fill the slot, over HTTP: a proposal, and making it the running order."""

from __future__ import annotations

from dataclasses import asdict
from typing import Annotated, Any

from fastapi import Response
from pydantic import Field

from api.actions.fill import Proposal, Wish, apply_filling, fill_slot
from api.dependencies import BandDep, DatabaseDep, SeenVersionDep, SessionDep
from api.routes.etag import tag
from api.routes.event_forms import WholeEventAnswer, whole_event_answer
from api.routes.form import Answer, Form, RowKey, RowNumber
from api.routes.later import LaterRouter
from planner.event.event import Occasion

router = LaterRouter(prefix="/events", tags=["events"])


class FillForm(Form):
    """The slot: minutes, seconds between two items, and what must or may not be in it."""

    minutes: Annotated[float, Field(gt=0, le=600)]
    gap_s: Annotated[float, Field(ge=0, le=3600)] = 30.0
    occasion: Occasion | None = None
    forced: Annotated[tuple[RowKey, ...], Field(max_length=100)] = ()
    forbidden: Annotated[tuple[RowKey, ...], Field(max_length=500)] = ()
    only_ready: bool = False

    def wish(self) -> Wish:
        """The wish as the action takes it."""
        return Wish(
            self.minutes,
            self.gap_s,
            self.occasion,
            frozenset(self.forced),
            frozenset(self.forbidden),
            self.only_ready,
        )


class ProposedItem(Answer):
    """One set of a proposal."""

    set_key: str
    name: str
    seconds: float


class ProposalAnswer(Answer):
    """A running order: fewer points are better, reasons say what is left against it.

    ``gap`` is the share by which another choice could be worth more at most; 0: none can.
    """

    items: list[ProposedItem]
    seconds: float
    unused_seconds: float
    points: int
    gap: float
    reasons: list[dict[str, Any]]
    differences: tuple[str, ...]


class FillingAnswer(Answer):
    """The proposal, the alternatives, and (name, why) of what stayed out."""

    proposal: ProposalAnswer
    alternatives: list[ProposalAnswer]
    left_out: tuple[tuple[str, str], ...]


@router.post("/{number}/fill/proposal")
def propose(
    number: RowNumber, form: FillForm, database: DatabaseDep, band: BandDep, response: Response
) -> FillingAnswer:
    """A selection and an order that fill the slot; nothing is stored, and nobody waits for it."""
    with database.reading() as session:
        filling = fill_slot(session, band, number, form.wish())
    tag(response, filling.kept.version)
    return FillingAnswer(
        proposal=_proposal(filling.best),
        alternatives=[_proposal(each) for each in filling.others],
        left_out=filling.left_out,
    )


@router.post("/{number}/fill")
def fill(
    number: RowNumber,
    form: FillForm,
    session: SessionDep,
    band: BandDep,
    seen: SeenVersionDep,
    response: Response,
) -> WholeEventAnswer:
    """Make the proposal the running order of the event."""
    kept = apply_filling(session, band, number, seen, form.wish())
    tag(response, kept.version)
    return whole_event_answer(kept)


def _proposal(proposal: Proposal) -> ProposalAnswer:
    return ProposalAnswer(
        items=[
            ProposedItem(set_key=each.key, name=each.name, seconds=round(each.seconds, 3))
            for each in proposal.order.items
        ],
        seconds=round(proposal.seconds, 3),
        unused_seconds=round(proposal.unused_s, 3),
        points=proposal.order.points,
        gap=proposal.order.gap,
        reasons=[asdict(reason) for reason in proposal.order.reasons],
        differences=proposal.differences,
    )
