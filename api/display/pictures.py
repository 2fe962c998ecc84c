"""How does music get into a sheet? As pictures written into the page itself.

One picture a line of music, so that a line is never split between two pages. The engraver draws;
this module makes the drawings light enough for paper and wraps them.
"""

from __future__ import annotations

import base64
from collections.abc import Sequence
from dataclasses import replace

from api.display.phrased_music import PictureView, TunePictures
from planner.engraving.engrave import engrave
from planner.engraving.engraved import System, svg_document
from planner.engraving.flatten import flatten
from planner.engraving.layout import A4, CARD, Layout, first_bars
from planner.engraving.overlay import add_marks
from planner.engraving.signs import mark_sign, sign_box
from planner.errors import EngravingError
from planner.marks.marks import Mark, Move
from planner.music.tune import Tune

OPENING_BARS = 2
# A card is read at arm's length: its music is as large as two bars allow.
ARMS_LENGTH = replace(CARD, side_margin_mm=7.0, staff_mm=6.5)
SCAN_KINDS = ("image/png", "image/jpeg")
# White around a sign in the legend.
SIGN_MARGIN_MM = 0.3


def tune_pictures(
    tune: Tune, marks: Sequence[Mark], scans: tuple[PictureView, ...] = (), layout: Layout = A4
) -> TunePictures:
    """All pictures of a tune with its marks; scans are shown only where there are no notes.

    What the engraver cannot draw is told on the sheet, which is printed all the same.
    """
    if not tune.has_notes:
        return TunePictures(scans=scans)
    try:
        drawn = add_marks(engrave(tune, layout), marks)
    except EngravingError as problem:
        return TunePictures(scans=scans, problem=str(problem))
    lines = len(drawn.systems)
    return TunePictures(
        systems=tuple(
            _line_picture(system, f"{tune.title}, line {number} of {lines}")
            for number, system in enumerate(drawn.systems, start=1)
        ),
        signs=tuple((move, sign_picture(move)) for move in Move if _is_used(move, marks)),
    )


def opening_picture(tune: Tune) -> str:
    """Address of a picture of the first two bars; empty when there are no notes to draw."""
    if not tune.has_notes:
        return ""
    try:
        drawn = engrave(first_bars(tune, OPENING_BARS), ARMS_LENGTH)
    except EngravingError:
        return ""  # the phrased music says what is wrong with it
    return _line_picture(drawn.systems[0], "").address


def sign_picture(move: Move) -> PictureView:
    """The sign of a move, as it stands on the staff."""
    box = sign_box(move).grown(SIGN_MARGIN_MM)
    svg = svg_document(box, mark_sign(move))
    return PictureView(svg_address(flatten(svg)), box.width, box.height, move.value)


def scan_picture(content: bytes, media_type: str, label: str) -> PictureView | None:
    """A scanned page as a picture; None for anything but PNG and JPEG."""
    if media_type not in SCAN_KINDS:
        return None
    packed = base64.b64encode(content).decode()
    return PictureView(f"data:{media_type};base64,{packed}", 0, 0, label)


def svg_address(svg: str) -> str:
    """A drawing as an address that holds the drawing itself."""
    return f"data:image/svg+xml;base64,{base64.b64encode(svg.encode()).decode()}"


def _line_picture(system: System, label: str) -> PictureView:
    frame = system.frame
    return PictureView(svg_address(flatten(system.svg)), frame.width, frame.height, label)


def _is_used(move: Move, marks: Sequence[Mark]) -> bool:
    return any(mark.move is move for mark in marks)
