"""The pages that explain: what the words and signs mean, and how everything looks."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response

from api.actions.rules import rulebook_of
from api.display.choices import KINDS, OCCASIONS
from api.display.pages.about import about_view
from api.display.pages.style import style_view
from api.routes.pages.visit import VisitDep

router = APIRouter()


@router.get("/about")
def about(visit: VisitDep) -> Response:
    """Words, signs and cautions."""
    rules = rulebook_of(visit.session, visit.band)
    return visit.show("pages/about.html", view=about_view(rules))


@router.get("/style")
def style(visit: VisitDep) -> Response:
    """Every component in every state."""
    return visit.show("pages/style.html", view=style_view(), kinds=KINDS, occasions=OCCASIONS)
