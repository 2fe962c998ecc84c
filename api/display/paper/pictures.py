"""How does music get into a sheet? As pictures written into the page itself.

Lines that belong on one page are one picture, so that neither a line nor a part is split between
two pages and the printer has few shapes to draw. The engraver draws; this module makes the
drawings light enough for paper and wraps them, with words for those who cannot see them.
"""

from __future__ import annotations

import base64
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cache, lru_cache
from itertools import groupby

from api.display.marks import done_words, group_marks
from api.display.paper.phrased_music import PictureView, TunePictures
from api.display.planned import PlannedEntry
from api.display.words import counted, join_words
from planner.engraving.engrave import engrave
from planner.engraving.engraved import Engraved, System, svg_document
from planner.engraving.flatten import flatten
from planner.engraving.layout import A4, A5, CARD, Layout, first_bars, last_bars
from planner.engraving.lines import line_starts
from planner.engraving.overlay import add_marks
from planner.engraving.signs import mark_sign, sign_box
from planner.errors import EngravingError
from planner.marks.marks import Mark, Move
from planner.marks.on_harmony import marks_on_harmony
from planner.music.tune import Tune

OPENING_BARS = 2
# A card is read at arm's length: its music is as large as two bars allow.
ARMS_LENGTH = replace(CARD, side_margin_mm=7.0, staff_mm=6.5, smallest_staff_mm=4.2)
# Two excerpts beside each other on a sheet.
JOIN = replace(CARD, paper_width_mm=96.0, staff_mm=5.5)
# Half sheets: the same line whether they are cut from A4 or from US paper.
HALF = replace(A5, side_margin_mm=12.0, smallest_staff_mm=3.4)
LINE_GAP_MM = 2.5
# How many tunes are kept as drawn, with their marks? Those of a few events, some megabytes in all.
KEPT_DRAWINGS = 64
# A tune of few lines leaves room for larger music: for each paper the most lines, and the staff.
LARGER = {A4: (5, 7.0), HALF: (3, 5.6)}
# Very few lines are broken in two where that alone makes the music large.
VERY_FEW_LINES = 3
LARGE_ENOUGH = 0.9
# How high may the music of one page be, below its heading?
A4_MUSIC_MM = 210.0
LETTER_MUSIC_MM = 188.0
HALF_MUSIC_MM = 140.0
# A scan is printed as wide as a line of music, if it is not too high for that.
SCAN_WIDTH_MM = 180.0
# White around a sign in the legend.
SIGN_MARGIN_MM = 0.3


def tune_pictures(
    tune: Tune,
    marks: Sequence[Mark],
    scans: tuple[PictureView, ...] = (),
    layout: Layout = A4,
    most_mm: float = A4_MUSIC_MM,
) -> TunePictures:
    """All pictures of a tune with its marks; scans are shown only where there are no notes.

    Lines that fit on one page are one picture ``most_mm`` high at most, and a part is not divided
    unless it is higher than that; ``most_mm`` 0 gives each part a picture of its own. What the
    engraver cannot draw is told on the sheet, which is printed all the same.
    """
    if not tune.has_notes:
        return TunePictures(scans=scans)
    try:
        return _drawn(tune, tuple(marks), layout, most_mm)
    except EngravingError as problem:
        return TunePictures(scans=scans, problem=str(problem))


def harmony_pictures(
    tune: Tune, marks: Sequence[Mark], layout: Layout = A4, most_mm: float = A4_MUSIC_MM
) -> tuple[PictureView, ...]:
    """The pipe harmony of a tune, each voice by itself, with the melody's marks on its notes."""
    pictures: list[PictureView] = []
    for number, harmony in enumerate(tune.harmonies, start=1):
        title = f"{tune.title}, pipe harmony{f' {number}' if len(tune.harmonies) > 1 else ''}"
        voice = replace(tune, title=title, parts=harmony, harmonies=(), order=())
        placed = marks_on_harmony(marks, harmony)
        pictures += tune_pictures(voice, placed, layout=layout, most_mm=most_mm).systems
    return tuple(pictures)


@lru_cache(maxsize=KEPT_DRAWINGS)
def _drawn(tune: Tune, marks: tuple[Mark, ...], layout: Layout, most_mm: float) -> TunePictures:
    """The music with its marks, light enough for paper; kept, since most sheets come again."""
    drawn = add_marks(engrave(tune, as_large_as_fits(tune, layout)), marks)
    return TunePictures(
        systems=tuple(
            _block_picture(drawn, block, music_words(tune, block, marks))
            for block in _blocks(drawn, most_mm)
        ),
        signs=tuple((move, sign_picture(move)) for move in Move if _is_used(move, marks)),
    )


def forget_drawings() -> None:
    """Draw everything anew from here on."""
    for kept in (_drawn, _opening, _excerpt, engrave):
        kept.cache_clear()


def as_large_as_fits(tune: Tune, layout: Layout) -> Layout:
    """The layout, with a larger staff where the tune has few lines and the paper leaves room."""
    lines = len(line_starts(tune))
    few, staff_mm = LARGER.get(layout, (0, 0.0))
    if lines > few:
        return layout
    smallest = LARGE_ENOUGH * staff_mm if lines <= VERY_FEW_LINES else layout.smallest_staff_mm
    return replace(layout, staff_mm=staff_mm, smallest_staff_mm=smallest)


def music_words(tune: Tune, block: Sequence[System], marks: Sequence[Mark]) -> str:
    """What is engraved, for those who cannot see it: title, parts, bars, and its marks in words."""
    shown = {name for system in block for name in system.notes}
    bars = Counter(part_of(name) for name in _bars(block) if not name.endswith("b0e0"))
    parts = [f"part {number}, {counted(count, 'bar')}" for number, count in sorted(bars.items())]
    said = f"Music of {tune.title}: {join_words(parts)}."
    groups = group_marks([mark for mark in marks if mark.place.note_id in shown], False)
    told = "; ".join(f"{group.where}: {done_words(group.first)}" for group in groups)
    return f"{said} Marks: {told}." if told else f"{said} No marks."


def _bars(block: Sequence[System]) -> tuple[str, ...]:
    return tuple(name for system in block for name in system.bars)


def part_of(bar: str) -> int:
    """The part a bar stands in, by the bar's identity."""
    return int(bar[1 : bar.index("b")])


def _blocks(drawn: Engraved, most_mm: float) -> Iterator[tuple[System, ...]]:
    """The lines that make a picture together: whole parts, as many as go below each other."""
    block: list[System] = []
    for _, lines in groupby(drawn.systems, key=lambda line: part_of(next(iter(line.bars)))):
        part = list(lines)
        if block and not _fits([*block, *part], most_mm):
            yield tuple(block)
            block = []
        for line in part:
            if most_mm and block and not _fits([*block, line], most_mm):
                yield tuple(block)
                block = []
            block.append(line)
    if block:
        yield tuple(block)


def _fits(lines: Sequence[System], most_mm: float) -> bool:
    height = sum(line.frame.height for line in lines) + LINE_GAP_MM * (len(lines) - 1)
    return height <= most_mm


def opening_picture(tune: Tune, marks: Sequence[Mark] = ()) -> str:
    """Address of a picture of the first two bars; empty when there are no notes to draw.

    The signs of those ``marks`` that stand in these bars are drawn, their words are the card's.
    """
    try:
        return _opening(tune, tuple(marks)) if tune.has_notes else ""
    except EngravingError:
        return ""  # the phrased music says what is wrong with it


@lru_cache(maxsize=KEPT_DRAWINGS)
def _opening(tune: Tune, marks: tuple[Mark, ...]) -> str:
    drawn = engrave(first_bars(tune, OPENING_BARS), ARMS_LENGTH)
    shown = [mark for mark in marks if drawn.system_of(mark.place.note_id) is not None]
    marked = add_marks(drawn, shown, has_words=False)
    return _block_picture(marked, marked.systems, "").address


def ending_picture(tune: Tune, part_number: int = 0) -> PictureView | None:
    """The last two bars of a tune, or of the part it is left after; None without notes."""
    if not tune.has_notes:
        return None
    return _excerpt(last_bars(tune, OPENING_BARS, part_number), f"The end of {tune.title}")


def beginning_picture(tune: Tune, part_number: int = 0) -> PictureView | None:
    """The first two bars of a tune, or of the part it is entered at; None without notes."""
    if not tune.has_notes:
        return None
    named = tuple(part for part in tune.parts if part.number == part_number)
    entered = replace(tune, parts=named, order=()) if named else tune
    return _excerpt(first_bars(entered, OPENING_BARS), f"The beginning of {tune.title}")


def link_picture(each: PlannedEntry) -> PictureView | None:
    """The bars that link a tune to the next one; None where there are none."""
    return _excerpt(each.link.tune, each.link.tune.title) if each.link else None


@lru_cache(maxsize=2 * KEPT_DRAWINGS)
def _excerpt(tune: Tune, label: str) -> PictureView | None:
    try:
        drawn = engrave(tune, JOIN)
    except EngravingError:
        return None
    return _line_picture(drawn.systems[0], label)


@cache
def sign_picture(move: Move) -> PictureView:
    """The sign of a move, as it stands on the staff."""
    box = sign_box(move).grown(SIGN_MARGIN_MM)
    svg = svg_document(box, mark_sign(move))
    return PictureView(svg_address(flatten(svg)), box.width, box.height, move.value)


def scan_pictures(pages: Sequence[tuple[bytes, int, int]], title: str) -> tuple[PictureView, ...]:
    """The pages of a scan, each a JPEG with its width and height in dots, as pictures."""
    return tuple(
        PictureView(
            f"data:image/jpeg;base64,{base64.b64encode(jpeg).decode()}",
            SCAN_WIDTH_MM,
            SCAN_WIDTH_MM * height / width,
            f"Scan of {title}, page {number} of {len(pages)}",
        )
        for number, (jpeg, width, height) in enumerate(pages, start=1)
    )


def svg_address(svg: str) -> str:
    """A drawing as an address that holds the drawing itself."""
    return f"data:image/svg+xml;base64,{base64.b64encode(svg.encode()).decode()}"


def _line_picture(system: System, label: str) -> PictureView:
    frame = system.frame
    return PictureView(svg_address(flatten(system.svg)), frame.width, frame.height, label)


def _block_picture(drawn: Engraved, block: tuple[System, ...], label: str) -> PictureView:
    stacked = replace(drawn, systems=block, gap_mm=LINE_GAP_MM)
    svg = flatten(stacked.svg)
    return PictureView(svg_address(svg), stacked.width_mm, stacked.height_mm, label)


def _is_used(move: Move, marks: Sequence[Mark]) -> bool:
    return any(mark.move is move for mark in marks)
