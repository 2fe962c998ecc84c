"""What does the sign of each move look like?

Our own signs, one a move, told apart by shape alone and at a copier's 70 %, and unlike any sign
that staff notation uses for something else. Drawn in millimetres, standing on y = 0 and reaching
up; x = 0 is the middle of the note, for ``hold`` its left edge. The legend draws the same ones.
"""

from __future__ import annotations

from collections.abc import Iterable
from xml.sax.saxutils import escape

from planner.engraving.engraved import SANS, Box, mm, svg_document
from planner.marks.marks import Move

SIGN_HEIGHT_MM = 2.0
WORD_SIZE_MM = 2.7
# How long is the hold's bar where no note says so?
HOLD_LENGTH_MM = 4.0
LEGEND_ROW_MM = 4.6
LEGEND_INDENT_MM = 0.8

_SHAPES = {
    Move.TIGHTEN: "M-.75 0V-2H-.3V0zM.3 0V-2H.75V0z",
    Move.EARLY: "M1 0V-2L-1-1z",
    Move.LATE: "M-1-2V0L1-1z",
    Move.LEAN: "M-1.5 0L.3-2H1.5L-.3 0z",
}
# Two arcs with a gap between them, drawn as lines.
_BREATHE = "M-1.2-2Q-.3-1-1.2 0M1.2-2Q.3-1 1.2 0"
_BREATHE_STROKE_MM = 0.45

MEANINGS = {
    Move.HOLD: "stay on this note; the next one in the beat comes later",
    Move.TIGHTEN: "play the movement beside this note tighter; the note gains",
    Move.EARLY: "start this movement a little before its place",
    Move.LATE: "start the next movement a little after its place",
    Move.LEAN: "fill the beat; the next beat starts later, the bar line stands",
    Move.BREATHE: "ease the end of the phrase; the bar grows longer",
}


def mark_sign(move: Move, length_mm: float = HOLD_LENGTH_MM) -> str:
    """The sign of a move as an SVG fragment in millimetres; ``length_mm`` matters to hold only."""
    if move is Move.HOLD:
        return f'<path d="{_hold(length_mm)}"/>'
    if move is Move.BREATHE:
        return (
            f'<path d="{_BREATHE}" fill="none" stroke="currentColor" '
            f'stroke-width="{_BREATHE_STROKE_MM}"/>'
        )
    return f'<path d="{_SHAPES[move]}"/>'


def sign_box(move: Move, length_mm: float = HOLD_LENGTH_MM) -> Box:
    """The room a sign takes, in the sign's own millimetres."""
    if move is Move.HOLD:
        return Box(0.0, -SIGN_HEIGHT_MM, length_mm, SIGN_HEIGHT_MM)
    half = {Move.TIGHTEN: 0.75, Move.LEAN: 1.5, Move.BREATHE: 1.2}.get(move, 1.0)
    if move is Move.BREATHE:
        half += _BREATHE_STROKE_MM / 2
    return Box(-half, -SIGN_HEIGHT_MM, 2 * half, SIGN_HEIGHT_MM)


def legend(moves: Iterable[Move], width_mm: float = 120.0) -> str:
    """The signs of these moves, each once, with word and meaning, as an SVG document."""
    wanted = set(moves)
    shown = [move for move in Move if move in wanted]
    rows = []
    for index, move in enumerate(shown):
        room = sign_box(move)
        left = LEGEND_INDENT_MM + HOLD_LENGTH_MM / 2 - (room.left + room.width / 2)
        baseline = (index + 1) * LEGEND_ROW_MM - 1.2
        place = f"translate({mm(left)} {mm(baseline)})"
        rows.append(
            f'<g class="mark" transform="{place}">{mark_sign(move)}</g>'
            + _words(LEGEND_INDENT_MM + HOLD_LENGTH_MM + 1.6, baseline, move.value, "bold")
            + _words(LEGEND_INDENT_MM + HOLD_LENGTH_MM + 15, baseline, MEANINGS[move], "normal")
        )
    return svg_document(Box(0, 0, width_mm, LEGEND_ROW_MM * len(shown)), "".join(rows))


def _hold(length: float) -> str:
    """A thick bar with an upright stop: held until there."""
    stop = length - 0.5
    return f"M0-1.35H{mm(stop)}V-2H{mm(length)}V0H{mm(stop)}V-.65H0z"


def _words(left: float, baseline: float, words: str, weight: str) -> str:
    return (
        f'<text x="{mm(left)}" y="{mm(baseline)}" font-family="{SANS}" '
        f'font-size="{WORD_SIZE_MM}" font-weight="{weight}">{escape(words)}</text>'
    )
