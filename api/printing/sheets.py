"""Which template prints which view?

One function a sheet: views in, the sections of a paper out. Nothing is worked out here.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from itertools import zip_longest

from api.display.paper.call_sheet import CallSheetView
from api.display.paper.drum_sheet import DrumSheetView
from api.display.paper.joins import JoinsView
from api.display.paper.learner_card import LearnerCardView
from api.display.paper.outs import OutsCardView
from api.display.paper.phrased_music import PhrasedMusicView, phrased_tune_sheet
from api.display.paper.pictures import harmony_pictures, tune_pictures
from api.display.paper.running_order import RunningOrderView
from api.display.paper.set_card import FrontCardView, SetCardView
from api.display.paper.side_by_side import SideBySideView
from api.printing.pdf import Section, sections_to_pdf
from api.printing.press import Press
from api.templating import render
from planner.music.tune import Tune
from planner.plan import TunePlan

Sections = tuple[Section, ...]

# How is a set made to fit its two sides? From the roomiest version to the largest paper. Each tune
# stays in one piece; only where no other version fits may the first one be divided.
CARD_DENSITIES = (
    "roomy",
    "close",
    "close tight",
    "close tight small",
    "close large",
    "close large small",
    "close large tight small",
    "close plain",
    "close tight plain",
    "close large plain",
    "close loose tight plain",
    "close full plain",
)
FRONT_DENSITIES = (
    "roomy",
    "close",
    "close plain",
    "close large",
    "close large plain",
    "close full",
)
OUTS_DENSITIES = (
    "roomy",
    "close",
    "close tight",
    "close large",
    "close tight large",
    "close full",
)
MOST_SIDES = 2
# The set's name and its first tune: a first side without a tune is no card.
CARD_HEADINGS = 2
# A call sheet, or a tune, wants to be one page on a wall or a stand.
SHEET_DENSITIES = ("roomy", "close")
LEARNER_DENSITIES = ("roomy", "close", "close tight")
MUSIC_DENSITIES = ("roomy", "close", "close tight")
HALF_DENSITIES = (
    "half",
    "half close",
    "half close tight",
    "half close tight bare",
)
NO_PRESS = Press()


def set_card_sections(
    cards: tuple[SetCardView, ...],
    front: FrontCardView | None,
    press: Press = NO_PRESS,
    patterns: tuple[SetCardView, ...] = (),
) -> Sections:
    """The cards of an event: at most two A6 sides a set, A5 only when the words need it.

    ``patterns`` are the cards, one for each, that decide how closely all players' cards are set.
    """
    name = "set-cards.pdf"
    sections = tuple(
        _card(card, press, name, pattern)
        for card, pattern in zip_longest(cards, patterns[: len(cards)])
    )
    if front is None:
        return sections
    template = "print/front_card.html"
    return (_sheet(template, FRONT_DENSITIES, press, name, most_pages=1, card=front), *sections)


def outs_sections(card: OutsCardView, press: Press = NO_PRESS) -> Sections:
    """What one player does in every tune, A6."""
    template, name = "print/outs_card.html", "outs.pdf"
    return (_sheet(template, OUTS_DENSITIES, press, name, most_pages=1, card=card),)


def learner_sections(card: LearnerCardView, press: Press = NO_PRESS) -> Sections:
    """The learner's card, A5: an overview, then each tune with its beat notes."""
    name = "learner-card.pdf"
    overview = _sheet(
        "print/learner_overview.html", LEARNER_DENSITIES, press, name, most_pages=1, card=card
    )
    tunes = tuple(
        _sheet(
            "print/learner_tune.html",
            LEARNER_DENSITIES,
            press,
            name,
            most_pages=1,
            card=card,
            tune=tune,
        )
        for tune in card.tunes
    )
    return (overview, *tunes)


def phrased_sections(
    sheet: PhrasedMusicView, press: Press = NO_PRESS, is_half: bool = False
) -> Sections:
    """The music with this occasion's marks, A4 or A5: each tune on pages of its own."""
    each_tune = [replace(sheet, tunes=(tune,)) for tune in sheet.tunes] or [sheet]
    densities = HALF_DENSITIES if is_half else MUSIC_DENSITIES
    template, name = "print/phrased_music.html", "phrased-music.pdf"
    return tuple(
        _sheet(template, densities, press, name, most_pages=1, sheet=one) for one in each_tune
    )


def phrased_sheet(tune: Tune, plan: TunePlan, has_harmony: bool = False) -> bytes:
    """The phrased music of one tune as planned, outside any event, made now."""
    pictures, made_at = tune_pictures(tune, plan.marks), datetime.now()
    if has_harmony:
        pictures = replace(pictures, harmony=harmony_pictures(tune, plan.marks))
    sheet = phrased_tune_sheet(plan, pictures, made_at)
    return sections_to_pdf(phrased_sections(sheet, Press(made_at=made_at)))


def drum_sections(sheet: DrumSheetView, press: Press = NO_PRESS) -> Sections:
    """Every tune as a strip of bars: A4."""
    return (_sheet("print/drum_sheet.html", ("roomy",), press, "drum-sheet.pdf", sheet=sheet),)


def call_sections(sheet: CallSheetView, press: Press = NO_PRESS) -> Sections:
    """When, where, in what and how many: A4."""
    template, name = "print/call_sheet.html", "call-sheet.pdf"
    return (_sheet(template, SHEET_DENSITIES, press, name, most_pages=1, sheet=sheet),)


def running_order_sections(sheet: RunningOrderView, press: Press = NO_PRESS) -> Sections:
    """What comes when, each set with its tunes: A4."""
    template, name = "print/running_order.html", "running-order.pdf"
    return (_sheet(template, SHEET_DENSITIES, press, name, most_pages=1, sheet=sheet),)


def joins_sections(sheet: JoinsView, press: Press = NO_PRESS) -> Sections:
    """The last two bars of each tune beside the first two of the next: A4."""
    return (_sheet("print/joins.html", ("roomy",), press, "joins.pdf", sheet=sheet),)


def side_by_side_sections(
    sheet: SideBySideView, press: Press = NO_PRESS, name: str = ""
) -> Sections:
    """One tune on two occasions: A4 across."""
    template = "print/side_by_side.html"
    return (_sheet(template, SHEET_DENSITIES, press, name, most_pages=1, sheet=sheet),)


def _card(card: SetCardView, press: Press, name: str, pattern: SetCardView | None) -> Section:
    section = _sheet(
        "print/set_card.html", CARD_DENSITIES, press, name, most_pages=MOST_SIDES, card=card
    )
    drawn = _filled_in("print/set_card.html", press, name, card=pattern) if pattern else ""
    return replace(section, headings_first=CARD_HEADINGS, pattern=drawn)


def _sheet(
    template: str,
    densities: tuple[str, ...],
    press: Press,
    name: str,
    most_pages: int = 0,
    **views: object,
) -> Section:
    html = _filled_in(template, press, name, **views)
    return Section(html, densities, most_pages, paper=str(press.format))


def _filled_in(template: str, press: Press, name: str, **views: object) -> str:
    return render(template, press=press, code=press.code(name), **views)
