"""The page that fills a slot: a form, a proposal, and a button that takes it."""

from __future__ import annotations

from typing import Any

from fastapi.responses import Response

from api.actions.events import one_event
from api.actions.fill import Filling, Proposal, apply_filling, fill_slot
from api.actions.sets import all_sets
from api.display.choices import OCCASIONS
from api.display.form import FormView
from api.display.pages.events import set_choices
from api.display.pages.fill import FillingView, ProposalView, filling_view, proposal_view
from api.routes.fill import FillForm
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.typed import Typed, TypedDep
from api.routes.pages.visit import Visit, VisitDep

router = LaterRouter(prefix="/events")

PAGE = "pages/fill.html"
FIELDS = ("minutes", "gap_s", "occasion", "forced", "forbidden", "only_ready", "sets")
ONE = ("minutes", "gap_s", "occasion", "only_ready")
SEVERAL = ("forced", "forbidden")


@router.get("/{number}/fill")
def fill(number: RowNumber, visit: VisitDep) -> Response:
    """The form of a slot."""
    kept = one_event(visit.session, visit.band, number)
    values = {"gap_s": ("30",), "occasion": (kept.noun.event.setting.occasion.value,)}
    form = FormView(f"/events/{number}/fill", values, version=str(kept.version))
    return visit.show(PAGE, form=form, view=None, **_around(visit, number, kept.noun.event.name))


@router.post("/{number}/fill")
def fill_or_take(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Propose, or (with the second button) take the proposal as the running order."""
    address = f"/events/{number}"
    name = one_event(visit.session, visit.band, number).noun.event.name
    around = _around(visit, number, name)
    form = typed.form(f"{address}/fill", address)
    visit.expects(PAGE, form, FIELDS, view=None, **around)
    wish = checked(typed).wish()
    if typed.text("do") == "take":
        apply_filling(visit.session, visit.band, number, typed.seen_version(), wish)
        return visit.go(f"{address}/order", "saved")
    view = _view(fill_slot(visit.session, visit.band, number, wish))
    return visit.show(PAGE, form=form, view=view, **around)


def checked(typed: Typed) -> FillForm:
    """What was typed, checked."""
    one: dict[str, Any] = {name: typed.text(name) for name in ONE if typed.text(name)}
    return FillForm.model_validate({**one, **{name: typed.all(name) for name in SEVERAL}})


def _around(visit: Visit, number: int, name: str) -> dict[str, Any]:
    sets = set_choices(kept.noun for kept in all_sets(visit.session, visit.band))
    return {
        "address": f"/events/{number}",
        "name": name,
        "sets": [(key, words) for key, words in sets if key],
        "occasions": OCCASIONS,
    }


def _view(filling: Filling) -> FillingView:
    return filling_view(
        _proposal(filling.best), [_proposal(each) for each in filling.others], filling.left_out
    )


def _proposal(each: Proposal) -> ProposalView:
    return proposal_view(each.order, each.seconds, each.unused_s, each.differences)
