"""How does a tune look as staff music?

The only door to Verovio, which runs in a worker process of its own: it keeps state from one tune
to the next and is written in a language that can crash. Every job starts a new toolkit with a
fixed seed, so the same tune and layout give the same bytes. Marks are drawn on afterwards
(``overlay.py``).

When a line is too full for the paper, all staves are made smaller; when that is not enough, the
line is broken in two.
"""

from __future__ import annotations

import functools
import os
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from statistics import median_high
from typing import Any

from planner.engraving.engraved import Engraved, System
from planner.engraving.labels import add_labels
from planner.engraving.layout import Layout
from planner.engraving.lines import halved_lines, line_starts
from planner.engraving.score import write_musicxml
from planner.engraving.systems import read_lines, read_systems
from planner.engraving.writable import refuse_unwritable
from planner.errors import EngravingError
from planner.music.tune import Tune
from planner.workers import Worker

# The engraver's own units in the height of a staff, at its standard size.
STAFF_UNITS = 720.0
# A line this much shorter than an ordinary one is not stretched to the margin.
SHORT_LINE = 0.75
# A single bar too full for the paper may be drawn this much smaller than the smallest staff.
LAST_RESORT = 0.6
KEPT_DRAWINGS = 64
# Half of the last bar line's thickness would be cut off without it.
EDGE_MM = 0.2

OPTIONS: dict[str, Any] = {
    "inputFrom": "musicxml",
    "header": "none",
    "footer": "none",
    "pageHeight": 60000,
    "pageMarginTop": 0,
    "pageMarginBottom": 0,
    "pageMarginLeft": 0,
    "pageMarginRight": 0,
    "adjustPageHeight": True,
    "spacingLinear": 0.2,  # as tight as the engraver sets notes without letting them touch
    "spacingNonLinear": 0.5,
    "graceFactor": 0.62,
    "beamMaxSlope": 0,
    "staffLineWidth": 0.18,
    "mnumInterval": 64,  # our own bar numbers are drawn by labels.py
    "minLastJustification": 0,  # short lines get a width of their own
    "svgRemoveXlink": True,
    "smuflTextFont": "none",
    "xmlIdSeed": 1,
}
WIDEST_PAGE = 100_000
# How are notes set that nothing presses, and how on paper?
NATURAL: dict[str, Any] = {"pageWidth": WIDEST_PAGE, "noJustification": True}
PRESSED: dict[str, Any] = {"noJustification": False}


@functools.lru_cache(maxsize=KEPT_DRAWINGS)
def engrave(tune: Tune, layout: Layout) -> Engraved:
    """The tune as lines of music in this layout.

    Raises:
        EngravingError: the tune cannot be written on a staff, or not on paper this narrow.
        WorkerError: the engraver took too long, too much memory, or broke off.
    """
    refuse_unwritable(tune)
    return engraver.call(_engrave, tune, layout)


def _load_engraver() -> None:
    import verovio  # noqa: F401, PLC0415 - heavy: loaded in the worker only


engraver = Worker("engraver", time_limit_s=30.0, memory_limit_mb=600, warm_up=_load_engraver)


def _engrave(tune: Tune, layout: Layout) -> Engraved:
    """Runs in the worker."""
    # The page says the tempo of the day; a harmony is drawn by itself.
    shown = replace(tune, tempo=None, harmonies=())
    with _caught_stderr() as remarks:
        score, staff_mm, widths = _fit(shown, layout)
        unit_mm = staff_mm / STAFF_UNITS
        full = (layout.line_mm - EDGE_MM) / unit_mm
        systems = _systems(score.drawn(full), unit_mm, layout)
    with _caught_stderr():  # long lines are pressed here, and nobody sees them
        for share, lines in _short_lines(widths).items() if not layout.single_line else ():
            narrow = _systems(score.drawn(share * full), unit_mm, layout)
            systems = [narrow[n] if n in lines else one for n, one in enumerate(systems)]
    return Engraved(
        systems=tuple(add_labels(system, tune, layout) for system in systems),
        width_mm=max(system.frame.width for system in systems),
        staff_mm=staff_mm,
        gap_mm=layout.system_gap_mm,
        remarks=tuple(remarks),
    )


def _short_lines(widths: Sequence[float]) -> dict[float, set[int]]:
    """Lines that would look stretched, such as a second ending: their share of a full line.

    They are as wide, beside an ordinary line, as their notes are when nothing presses them.
    """
    ordinary = median_high(widths)
    found: dict[float, set[int]] = {}
    for index, width in enumerate(widths):
        if width < SHORT_LINE * ordinary:
            found.setdefault(round(width / ordinary, 2), set()).add(index)
    return found


def _fit(tune: Tune, layout: Layout) -> tuple[Score, float, list[float]]:
    """The score broken into lines, and how high its staff is so that the fullest fits the paper.

    Also the width of each line as its notes would have it, in the engraver's units.
    """
    breaks = frozenset[str]() if layout.single_line else line_starts(tune)
    while True:
        score = Score(tune, layout, breaks)
        lines = score.natural_lines()
        widths = [width for _, width in lines]
        fitting = (layout.line_mm - EDGE_MM) * STAFF_UNITS / max(widths)
        if fitting >= layout.smallest_staff_mm:
            return score, min(layout.staff_mm, fitting), widths
        too_wide = max(widths) * fitting / layout.smallest_staff_mm
        too_full = [n for n, width in enumerate(widths) if width > too_wide]
        more = halved_lines([bars for bars, _ in lines], too_full)
        if not more:  # single bars are left, which cannot be broken
            break
        breaks |= more
    if fitting < layout.smallest_staff_mm * LAST_RESORT:
        raise EngravingError(
            f"{tune.title}: a line of {layout.line_mm:g} mm is too short for its fullest bar; "
            "choose wider paper or split the bar."
        )
    return score, fitting, widths


def _systems(svgs: Sequence[str], unit_mm: float, layout: Layout) -> list[System]:
    systems = [system for svg in svgs for system in read_systems(svg, unit_mm, layout.line_mm)]
    if not layout.single_line:
        return systems
    # the frame ends where the notes end
    return [
        replace(one, frame=replace(one.frame, width=one.staff.right + EDGE_MM)) for one in systems
    ]


class Score:
    """A tune with its lines as the engraver holds it: read once, drawn as often as is wanted."""

    def __init__(self, tune: Tune, layout: Layout, breaks: frozenset[str]) -> None:
        import verovio  # noqa: PLC0415 - heavy: loaded in the worker only

        written = write_musicxml(
            tune,
            labels_parts=False,
            is_excerpt=layout.single_line,
            breaks=breaks,
            is_indented=False,
        )
        self._is_single_line = layout.single_line
        self._written = written
        self._toolkit = verovio.toolkit()
        self._has_breaks = "new-system" in written
        how = {
            "breaks": "encoded" if self._has_breaks else "none",
            "svgBoundingBoxes": layout.single_line,
        }
        self._toolkit.setOptions(OPTIONS | how | NATURAL)
        if not self._toolkit.loadData(written):
            raise EngravingError(f"{tune.title}: the engraver could not read the tune; report it.")
        self._natural = self._pages()

    def natural_lines(self) -> list[tuple[tuple[str, ...], float]]:
        """The bars of each line, and the width they take when nothing presses them."""
        lines = [line for svg in self._natural for line in read_lines(svg)]
        return [(tuple(bars), max(box.right for box in bars.values())) for bars in lines]

    def drawn(self, width: float, has_boxes: bool = True) -> tuple[str, ...]:
        """The pages as SVG, with lines ``width`` long in the engraver's units.

        An excerpt stays as nature has it.
        """
        if self._is_single_line:
            return self._natural
        shape = {"pageWidth": min(WIDEST_PAGE, round(width / 10)), "svgBoundingBoxes": has_boxes}
        self._toolkit.setOptions(PRESSED | shape)
        if self._has_breaks:
            self._toolkit.redoLayout()
        else:  # of a single line the engraver would tell the boxes of the layout before
            self._toolkit.loadData(self._written)
        return self._pages()

    def _pages(self) -> tuple[str, ...]:
        pages = range(1, self._toolkit.getPageCount() + 1)
        return tuple(self._toolkit.renderToSVG(page) for page in pages)


@contextmanager
def _caught_stderr() -> Iterator[list[str]]:
    """The lines that compiled code writes to stderr meanwhile, filled in at the end."""
    lines: list[str] = []
    with tempfile.TemporaryFile() as caught:
        kept = os.dup(2)
        os.dup2(caught.fileno(), 2)
        try:
            yield lines
        finally:
            os.dup2(kept, 2)
            os.close(kept)
            caught.seek(0)
            lines += caught.read().decode("utf-8", "replace").splitlines()
