"""The same notes in another idiom, kept as a new tune of the library."""

from __future__ import annotations

from fastapi.responses import Response

from api.actions.exports import recast_tune
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.typed import TypedDep
from api.routes.pages.visit import VisitDep

router = LaterRouter(prefix="/tunes")


@router.post("/{number}/recast")
def recast(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Make the new setting and show it."""
    kept = recast_tune(visit.session, visit.band, number, typed.text("idiom"))
    return visit.go(f"/tunes/{kept.id}", "recast")
