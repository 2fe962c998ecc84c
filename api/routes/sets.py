"""Sets over HTTP: build, look, change, remove."""

from __future__ import annotations

from fastapi import Response

from api.actions import sets as act
from api.actions.rules import rulebook_of
from api.dependencies import BandDep, SeenVersionDep, SessionDep
from api.routes.etag import created, tag
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.set_forms import SetAnswer, SetForm, set_answer

router = LaterRouter(prefix="/sets", tags=["sets"])


@router.get("")
def list_sets(session: SessionDep, band: BandDep) -> list[SetAnswer]:
    """Every set of the band, by number and name."""
    return [set_answer(kept) for kept in act.all_sets(session, band)]


@router.post("", status_code=201)
def create_set(form: SetForm, session: SessionDep, band: BandDep, response: Response) -> SetAnswer:
    """Store a new set."""
    kept = act.add_set(session, band, form.planned(), rulebook_of(session, band))
    created(response, f"/api/sets/{kept.id}", kept.version)
    return set_answer(kept)


@router.get("/{number}")
def get_set(number: RowNumber, session: SessionDep, band: BandDep, response: Response) -> SetAnswer:
    """One set."""
    kept = act.one_set(session, band, number)
    tag(response, kept.version)
    return set_answer(kept)


@router.put("/{number}")
def change_set(
    number: RowNumber,
    form: SetForm,
    session: SessionDep,
    band: BandDep,
    seen: SeenVersionDep,
    response: Response,
) -> SetAnswer:
    """Change a set: its entries are replaced by the new ones."""
    rulebook = rulebook_of(session, band)
    kept = act.change_set(session, band, number, seen, form.planned(str(number)), rulebook)
    tag(response, kept.version)
    return set_answer(kept)


@router.delete("/{number}", status_code=204)
def remove_set(number: RowNumber, session: SessionDep, band: BandDep, seen: SeenVersionDep) -> None:
    """Remove a set that no event needs."""
    act.remove_set(session, band, number, seen)
