"""The pages where lists go out and come in."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from fastapi.responses import Response

from api.actions import lists as act
from api.actions.rows_in import MOST_ROWS
from api.actions.rules import rulebook_of
from api.display.form import FormView
from api.routes.later import LaterRouter
from api.routes.lists import MOST_BYTES
from api.routes.pages.typed import Typed, TypedDep
from api.routes.pages.visit import Visit, VisitDep
from planner.errors import RequestError

router = LaterRouter(prefix="/people")

PAGE = "pages/lists.html"
ADDRESS = "/people/lists"
# Each row that is refused is said, not only the first.
ROWS = tuple(f"row {number}" for number in range(1, MOST_ROWS + 2))


@router.get("/lists")
def lists(visit: VisitDep) -> Response:
    """What goes out, and what can come in."""
    return visit.show(PAGE, form=FormView(ADDRESS), **_columns())


@router.post("/lists/people")
def people_in(visit: VisitDep, typed: TypedDep) -> Response:
    """Take people in."""
    return _take(visit, typed, lambda content: act.add_people(visit.session, visit.band, content))


@router.post("/lists/tunes")
def tunes_in(visit: VisitDep, typed: TypedDep) -> Response:
    """Take tunes in."""
    book = rulebook_of(visit.session, visit.band)
    return _take(
        visit, typed, lambda content: act.add_tunes(visit.session, visit.band, content, book)
    )


def _take(visit: Visit, typed: Typed, take: Callable[[bytes], int]) -> Response:
    visit.expects(PAGE, typed.form(ADDRESS), ROWS, **_columns())
    take(sent_list(typed))
    return visit.go(ADDRESS, "added")


def sent_list(typed: Typed) -> bytes:
    """The list that was sent.

    Raises:
        RequestError: no file was chosen.
    """
    file = typed.file("file")
    if file is None:
        raise RequestError("file", "no file was chosen", "choose a CSV file")
    return file.file.read(MOST_BYTES)


def _columns() -> dict[str, Any]:
    return {"people": ", ".join(act.PEOPLE), "tunes": ", ".join(act.TUNES)}
