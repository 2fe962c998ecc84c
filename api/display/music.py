"""How does staff music stand on a page? Drawn twice, wide for a desk and narrow for a phone.

The style sheet shows the one that fits. The wide drawing keeps the ids of notes and bars, so that
a mark can point at its note; an id may stand on a page once, so the narrow one says them aside.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from planner.engraving.engrave import engrave
from planner.engraving.engraved import System
from planner.engraving.layout import Layout
from planner.engraving.overlay import add_marks
from planner.errors import EngravingError
from planner.marks.marks import Mark
from planner.music.tune import Tune

WIDE = Layout(paper_width_mm=184.0, side_margin_mm=2.0, staff_mm=6.0)
NARROW = Layout(paper_width_mm=92.0, side_margin_mm=1.0, staff_mm=6.2, smallest_staff_mm=5.0)


@dataclass(frozen=True, slots=True)
class LineView:
    """One line of music: the drawing itself, and what it is for those who cannot see it."""

    svg: str
    label: str


@dataclass(frozen=True, slots=True)
class MusicView:
    """A tune as drawn. ``problem`` is the engraver's sentence when it cannot be."""

    wide: tuple[LineView, ...] = ()
    narrow: tuple[LineView, ...] = ()
    problem: str = ""


def music_view(
    tune: Tune, marks: Sequence[Mark] = (), prefix: str = "", *, is_excerpt: bool = False
) -> MusicView:
    """The music of a tune with these marks; empty where there are no notes.

    ``prefix`` starts the ids, so that several tunes can stand on one page. An excerpt ends with a
    plain bar line, for it does not end where the tune does.
    """
    if not tune.has_notes:
        return MusicView()
    try:
        wide = _lines(tune, marks, replace(WIDE, single_line=is_excerpt))
        narrow = _lines(tune, marks, replace(NARROW, single_line=is_excerpt))
    except EngravingError as problem:
        return MusicView(problem=str(problem))
    return MusicView(
        tuple(LineView(_with_prefix(each.svg, prefix), each.label) for each in wide),
        tuple(LineView(_without_ids(each.svg), each.label) for each in narrow),
    )


def _lines(tune: Tune, marks: Sequence[Mark], layout: Layout) -> tuple[LineView, ...]:
    systems = add_marks(engrave(tune, layout), marks).systems
    return tuple(
        LineView(_drawing(system, label), label)
        for number, system in enumerate(systems, start=1)
        for label in (f"{tune.title}, line {number} of {len(systems)}",)
    )


def _drawing(system: System, label: str) -> str:
    words = label.replace("&", "&amp;").replace('"', "&quot;").replace("<", "&lt;")
    return system.svg.replace("<svg ", f'<svg role="img" aria-label="{words}" ', 1).replace(
        ' color="black"', "", 1
    )


def _with_prefix(svg: str, prefix: str) -> str:
    return re.sub(r' id="', f' id="{prefix}', svg) if prefix else svg


def _without_ids(svg: str) -> str:
    """The drawing without ids; a note says in ``data-at`` which it is."""
    said = re.sub(r' id="([^"]*)" class="note"', r' data-at="\1" class="note"', svg)
    return re.sub(r' (id|data-note)="[^"]*"', "", said)
