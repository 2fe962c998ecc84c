"""Which template prints which view?

One function a sheet: views in, PDF out. Nothing is worked out here.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from api.display.call_sheet import CallSheetView
from api.display.drum_sheet import DrumSheetView
from api.display.phrased_music import PhrasedMusicView, phrased_tune_sheet
from api.display.pictures import tune_pictures
from api.display.set_card import FrontCardView, SetCardView
from api.printing.pdf import fit_to_pdf, html_to_pdf
from api.templating import render
from planner.music.tune import Tune
from planner.plan import TunePlan

# How is a set made to fit its two sides? From the roomiest version to the largest paper.
CARD_DENSITIES = (
    "roomy",
    "close",
    "close small",
    "close large small",
    "close plain",
    "close large plain",
    "close sheet plain",
)
MOST_SIDES = 2
# A call sheet, or a tune, wants to be one page on a wall or a stand.
SHEET_DENSITIES = ("roomy", "close")


def set_cards_pdf(cards: tuple[SetCardView, ...], front: FrontCardView | None = None) -> bytes:
    """The cards of an event: at most two A6 sides a set, A5 only when the words need it."""
    sections = tuple(_versions("print/set_card.html", card) for card in cards)
    if front is not None:
        sections = (_versions("print/front_card.html", front), *sections)
    return fit_to_pdf(sections, MOST_SIDES)


def phrased_music_pdf(sheet: PhrasedMusicView) -> bytes:
    """The music with this occasion's marks, A4: each tune on pages of its own."""
    each_tune = [replace(sheet, tunes=(tune,)) for tune in sheet.tunes] or [sheet]
    sections = tuple(_of_each_density("print/phrased_music.html", one) for one in each_tune)
    return fit_to_pdf(sections, most_pages=1)


def phrased_sheet(tune: Tune, plan: TunePlan) -> bytes:
    """The phrased music of one tune as planned, outside any event, made now."""
    pictures = tune_pictures(tune, plan.marks)
    return phrased_music_pdf(phrased_tune_sheet(plan, pictures, datetime.now()))


def drum_sheet_pdf(sheet: DrumSheetView) -> bytes:
    """Every tune as a strip of bars: A4."""
    return html_to_pdf(render("print/drum_sheet.html", sheet=sheet))


def call_sheet_pdf(sheet: CallSheetView) -> bytes:
    """When, where, in what and how many: A4."""
    return fit_to_pdf((_of_each_density("print/call_sheet.html", sheet),), most_pages=1)


def _of_each_density(template: str, sheet: CallSheetView | PhrasedMusicView) -> tuple[str, ...]:
    return tuple(render(template, sheet=sheet, density=density) for density in SHEET_DENSITIES)


def _versions(template: str, card: SetCardView | FrontCardView) -> tuple[str, ...]:
    return tuple(render(template, card=card, density=density) for density in CARD_DENSITIES)
