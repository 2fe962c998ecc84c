"""The pages of tunes: the library, one tune, and one tune on two occasions."""

from __future__ import annotations

from typing import Annotated

from fastapi import Query
from fastapi.responses import Response

from api.actions import tunes as act
from api.actions.planning import plan_of_tune
from api.actions.reading import LibraryTune
from api.actions.records import Kept
from api.actions.rules import rulebook_of
from api.display.choices import KINDS
from api.display.form import FormView
from api.display.occasions import occasions_view
from api.display.tune import About, tune_view
from api.display.tunes import ShelfTune, Wanted, tunes_view
from api.routes.compare import setting_of
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.visit import VisitDep
from planner.analysis.movements import name_movements

router = LaterRouter(prefix="/tunes")

Looked = Annotated[str, Query(max_length=120)]


@router.get("")
def tunes(
    visit: VisitDep,
    words: Looked = "",
    idiom: Looked = "",
    metre: Looked = "",
    tag: Looked = "",
) -> Response:
    """The library: every tune, or those that are looked for."""
    shelf = [_on_shelf(kept.noun) for kept in act.all_tunes(visit.session, visit.band)]
    view = tunes_view(shelf, Wanted(words, idiom, metre, tag))
    looked = {"words": (words,), "idiom": (idiom,), "metre": (metre,), "tag": (tag,)}
    return visit.show("pages/tunes.html", view=view, form=FormView("/tunes", looked))


@router.get("/{number}")
def tune(number: RowNumber, visit: VisitDep) -> Response:
    """One tune: its music, structure, movements, findings and credits."""
    kept = act.one_tune(visit.session, visit.band, number)
    music = kept.noun.tune
    rules = rulebook_of(visit.session, visit.band)
    movements = name_movements(music, rules) if music else ()
    view = tune_view(about_tune(kept), music, kept.noun.findings, movements)
    return visit.show("pages/tune.html", view=view)


@router.get("/{number}/occasions")
def occasions(
    number: RowNumber,
    visit: VisitDep,
    left: Looked = "parade:own-band",
    right: Looked = "exhibition:standing",
) -> Response:
    """The same tune on two occasions side by side."""
    plans = [
        plan_of_tune(visit.session, visit.band, number, setting_of(kind)) for kind in (left, right)
    ]
    view = occasions_view(str(number), *plans)
    form = FormView(f"{view.address}/occasions", {"left": (left,), "right": (right,)})
    return visit.show("pages/occasions.html", view=view, form=form, kinds=KINDS)


def about_tune(kept: Kept[LibraryTune]) -> About:
    """What the band says of a tune, as its pages show it."""
    record = kept.noun.record
    return About(
        key=record.key,
        version=kept.version,
        title=record.title,
        tags=record.tags,
        credits=record.credits,
        tonal_centre=record.tonal_centre,
        permission=record.permission,
        remarks=record.remarks,
        file_name=record.file.name if record.file else "",
        scan_kind=record.attachment.media_type if record.attachment else "",
        drum_file_name=record.drum_file.name if record.drum_file else "",
    )


def _on_shelf(shelved: LibraryTune) -> ShelfTune:
    record = shelved.record
    composer = record.credits.composer
    return ShelfTune(record.key, record.title, shelved.tune, record.tags, composer)
