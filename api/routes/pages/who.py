"""The page of who and when of an event."""

from __future__ import annotations

from datetime import date

from fastapi.responses import Response

from api.actions.who import who_and_when
from api.display.pages.who import who_view
from api.display.words import day_words
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.visit import VisitDep

router = LaterRouter(prefix="/events")


@router.get("/{number}/people")
def who(number: RowNumber, visit: VisitDep) -> Response:
    """Counts against the minimum, who is out of what, gaps, rungs, open answers."""
    found = who_and_when(visit.session, visit.band, number, date.today())
    event = found.kept.noun.event
    view = who_view(
        f"/events/{number}",
        event.name,
        day_words(event.answers_by),
        found.counts,
        found.findings,
        {"silent": found.silent, "undecided": found.undecided, "learners": found.learners},
        [
            (found.titles[each.tune_key], found.outs.get(each.tune_key, ()), each)
            for each in found.rungs
        ],
    )
    return visit.show("pages/who.html", view=view)
