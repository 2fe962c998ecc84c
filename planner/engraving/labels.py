"""Which words stand over a line of music so that players find their place?

"Part 2" where a part begins, and the number of the first full bar at the start of other lines,
both at the line's left edge above the clef, clear of the notes. A bar with a label has it above.
"""

from __future__ import annotations

import re
from xml.sax.saxutils import escape

from planner.engraving.engraved import SANS, Box, System, mm
from planner.engraving.layout import Layout
from planner.music.tune import Tune, bar_id

# Sizes in staff heights, so that small music has small words.
LABEL_SIZE = 0.52
NUMBER_SIZE = 0.40
# How wide is a letter of the sans type on the average, in its size? Wide enough for any word here.
LETTER_WIDTH = 0.66
CLEARANCE_MM = 0.6

_BAR = re.compile(r"p(\d+)b(\d+)e(\d+)$")


def add_labels(system: System, tune: Tune, layout: Layout) -> System:
    """The line with its part label or bar number, as the layout wishes."""
    has_parts = len(tune.parts) > 1
    words = {
        bar_id(part.number, bar.number, bar.ending): bar.label
        for part in tune.parts
        for bar in part.bars
        if bar.label
    }
    for name, place in sorted(system.bars.items(), key=lambda item: item[1].left):
        part, bar, _ = (int(number) for number in _numbers(name))
        begins_part = name == _first_bar_of(tune, part)
        if begins_part and has_parts and layout.shows_part_labels:
            system = _with_word(system, f"Part {part}", place, LABEL_SIZE, "bold")
        elif place.left == system.staff.left and layout.shows_bar_numbers and bar > 1:
            system = _with_word(system, str(bar), place, NUMBER_SIZE, "normal")
        if name in words:
            system = _with_word(system, words[name], place, NUMBER_SIZE, "bold")
    return system


def _numbers(name: str) -> tuple[str, ...]:
    match = _BAR.match(name)
    assert match is not None, name
    return match.groups()


def _first_bar_of(tune: Tune, number: int) -> str:
    part = next(part for part in tune.parts if part.number == number)
    return f"p{number}b{part.bars[0].number}e{part.bars[0].ending}"


def _with_word(system: System, word: str, bar: Box, size: float, weight: str) -> System:
    height = size * system.staff.height
    width = LETTER_WIDTH * height * len(word)
    box = Box(bar.left, 0.0, width, height * 0.8)
    nearby = [other for other in system.obstacles if _shares_column(other, box)]
    above = min([bar.top, *(other.top for other in nearby if other.top < bar.bottom)])
    box = Box(box.left, above - CLEARANCE_MM - box.height, width, box.height)
    baseline = mm(box.bottom)
    ink = (
        f'<text x="{mm(box.left)}" y="{baseline}" font-family="{SANS}" font-size="{mm(height)}" '
        f'font-weight="{weight}">{escape(word)}</text>'
    )
    return system.with_added(ink, [box])


def _shares_column(box: Box, other: Box) -> bool:
    return box.left < other.right and other.left < box.right
