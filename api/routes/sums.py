"""The sums of an event over HTTP: joins, street, contest, dance, sound, cautions."""

from __future__ import annotations

from typing import Any

from fastapi import Response

from api.actions.planning import plan_of_event
from api.actions.sums import sums_of_plan
from api.actions.who import gaps_of_plan
from api.dependencies import BandDep, SessionDep
from api.display.documents.sums import sums_document
from api.routes.etag import tag
from api.routes.form import RowNumber
from api.routes.later import LaterRouter

router = LaterRouter(prefix="/events", tags=["sums"])


@router.get("/{number}/sums")
def get_sums(
    number: RowNumber, session: SessionDep, band: BandDep, response: Response
) -> dict[str, Any]:
    """Everything that can be reckoned about an event; what does not apply is null."""
    plan = plan_of_event(session, band, number)
    tag(response, plan.kept.version)
    return sums_document(sums_of_plan(plan, gaps_of_plan(session, band, plan)))
