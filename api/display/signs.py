"""How do the signs of the staff stand in running text? The same shapes, as small drawings."""

from __future__ import annotations

from functools import cache

from planner.engraving.engraved import mm
from planner.engraving.signs import mark_sign, sign_box
from planner.marks.marks import Move


@cache
def move_sign(move: Move) -> str:
    """The sign of a move as an SVG element that takes the colour of the words around it."""
    box = sign_box(move)
    view = f"{mm(box.left)} {mm(box.top)} {mm(box.width)} {mm(box.height)}"
    return (
        f'<svg class="move-sign" viewBox="{view}" width="{mm(box.width)}" '
        f'height="{mm(box.height)}" fill="currentColor" aria-hidden="true">{mark_sign(move)}</svg>'
    )
