"""Where the parts and phrases of a tune begin, set by hand on its page."""

from __future__ import annotations

import re

from fastapi.responses import Response

from api.actions import tunes as act
from api.actions.rules import rulebook_of
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.tunes import TUNE, shown_tune
from api.routes.pages.typed import Typed, TypedDep
from api.routes.pages.visit import Visit, VisitDep
from planner.errors import RequestError

router = LaterRouter(prefix="/tunes")

MOST_BARS = 200


@router.post("/{number}/parts")
def change_parts(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Say in which bars the parts begin."""
    _expects(number, visit, typed)
    starts = bars_of(typed.text("part_starts"), "part_starts")
    act.change_parts(visit.session, visit.band, number, typed.seen_version(), starts)
    return visit.go(f"/tunes/{number}", "saved", place="structure")


@router.post("/{number}/phrases")
def change_phrases(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Say in which bars the phrases of each part begin."""
    _expects(number, visit, typed)
    names = sorted(
        (name for name in typed.values if re.fullmatch(r"phrases\.[0-9]{1,3}", name)),
        key=lambda name: int(name.partition(".")[2]),
    )
    starts = [bars_of(typed.text(name), name) for name in names]
    act.change_phrases(visit.session, visit.band, number, typed.seen_version(), starts)
    return visit.go(f"/tunes/{number}", "saved", place="structure")


def _expects(number: int, visit: Visit, typed: Typed) -> None:
    kept = act.one_tune(visit.session, visit.band, number)
    view = shown_tune(kept, rulebook_of(visit.session, visit.band))
    address = f"/tunes/{number}"
    visit.expects(TUNE, typed.form(address, address), ("part_starts",), view=view)


def bars_of(text: str, field: str) -> list[int]:
    """The bars of a line such as ``1, 9, 17``.

    Raises:
        RequestError: a word of it is no bar.
    """
    words = re.findall(r"[^,;\s]+", text)
    for word in words:
        if not re.fullmatch("[0-9]{1,4}", word):
            raise RequestError(field, f"“{word[:20]}” is no bar", "write numbers such as 1, 9, 17")
    if len(words) > MOST_BARS:
        raise RequestError(field, f"{len(words)} bars are named", f"name at most {MOST_BARS}")
    return [int(word) for word in words]
