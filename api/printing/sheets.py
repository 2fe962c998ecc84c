"""Which template prints which view?

One function a sheet: views in, PDF out. Nothing is worked out here.
"""

from __future__ import annotations

from api.display.set_card import FrontCardView, SetCardView
from api.printing.pdf import fit_to_pdf
from api.templating import render

# How is a set made to fit its two sides? From the roomiest version to the largest paper.
CARD_DENSITIES = (
    "roomy",
    "close",
    "close plain",
    "close large",
    "close large plain",
    "close sheet plain",
)
MOST_SIDES = 2


def set_cards_pdf(cards: tuple[SetCardView, ...], front: FrontCardView | None = None) -> bytes:
    """The cards of an event: at most two A6 sides a set, A5 only when the words need it."""
    sections = tuple(_versions("print/set_card.html", card) for card in cards)
    if front is not None:
        sections = (_versions("print/front_card.html", front), *sections)
    return fit_to_pdf(sections, MOST_SIDES)


def _versions(template: str, card: SetCardView | FrontCardView) -> tuple[str, ...]:
    return tuple(render(template, card=card, density=density) for density in CARD_DENSITIES)
