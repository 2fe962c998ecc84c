"""The pages of tunes: the library, one tune, and one tune on two occasions."""

from __future__ import annotations

from dataclasses import asdict
from typing import Annotated

from fastapi import Depends, Query
from fastapi.responses import Response

from api.actions import shelf
from api.actions import tunes as act
from api.actions.planning import plan_of_tune
from api.actions.reading import LibraryTune
from api.actions.records import Kept
from api.actions.rules import rulebook_of
from api.display.choices import KINDS
from api.display.form import FormView
from api.display.pages.division import Division, division_form
from api.display.pages.occasions import occasions_view
from api.display.pages.tune import About, TuneView, tune_view
from api.display.pages.tune_facts import tune_facts
from api.display.pages.tunes import FilterChoices, filter_choices, tunes_view
from api.routes.compare import setting_of
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.looking import Looked, on_shelf
from api.routes.pages.visit import Visit, VisitDep
from planner.analysis.movements import name_movements, tachum_movements
from planner.rules.rulebook import RuleBook

router = LaterRouter(prefix="/tunes")

TUNE = "pages/tune.html"
Word = Annotated[str, Query(max_length=120)]


@router.get("")
def tunes(
    visit: VisitDep,
    looked: Annotated[Looked, Depends()],
    page: Annotated[int, Query(ge=1, le=100_000)] = 1,
) -> Response:
    """The library: every tune, or those that are looked for, a page at a time."""
    found = shelf.look_for(visit.session, visit.band, looked.looking(), page)
    view = tunes_view(on_shelf(found, page), asdict(looked))
    return visit.show(
        "pages/tunes.html", view=view, choices=_choices(visit), form=looked.form("/tunes")
    )


@router.get("/{number}")
def tune(number: RowNumber, visit: VisitDep) -> Response:
    """One tune: its music, structure, movements, findings and credits."""
    kept = act.one_tune(visit.session, visit.band, number)
    view = shown_tune(kept, rulebook_of(visit.session, visit.band))
    return visit.show(
        TUNE, view=view, form=division_form(view.division, view.address, view.version)
    )


def shown_tune(kept: Kept[LibraryTune], rules: RuleBook) -> TuneView:
    """The page of a tune, worked out."""
    music, record = kept.noun.tune, kept.noun.record
    movements = (*name_movements(music, rules), *tachum_movements(music)) if music else ()
    by_hand = Division(record.part_starts, record.phrase_starts)
    return tune_view(
        about_tune(kept), music, kept.noun.findings, movements, by_hand, tune_facts(music, rules)
    )


@router.get("/{number}/occasions")
def occasions(
    number: RowNumber,
    visit: VisitDep,
    left: Word = "parade:own-band",
    right: Word = "exhibition:standing",
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
        standard_setting=record.standard_setting,
        remarks=record.remarks,
        file_name=record.file.name if record.file else "",
        scan_kind=record.attachment.media_type if record.attachment else "",
        drum_file_name=record.drum_file.name if record.drum_file else "",
        drum_scan_kind=record.drum_scan.media_type if record.drum_scan else "",
    )


def _choices(visit: Visit) -> FilterChoices:
    there = shelf.shelf_choices(visit.session, visit.band)
    metres = [(metre, shelf.metre_from_text(metre)) for metre in there.metres]
    return filter_choices(there.idioms, metres, there.tonal_centres)
