"""Where do the phrasing marks stand on the staff?

Every mark is a sign with its word beside it, above the line of music and clear of everything that
is drawn there: it stands as low as the column of its note allows, marks at about the same height
share one, and marks that would meet step up. A line with marks is taller by what they need.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from planner.engraving.engraved import SANS, Box, Engraved, System, mm
from planner.engraving.signs import (
    HOLD_LENGTH_MM,
    SIGN_HEIGHT_MM,
    WORD_SIZE_MM,
    mark_sign,
    sign_box,
)
from planner.errors import EngravingError
from planner.marks.marks import Mark, Move

# White around a mark towards the music, and between two marks.
CLEARANCE_MM = 0.8
BETWEEN_MARKS_MM = 1.0
# A hair more than that, or rounding would leave two marks touching for ever.
STEP_MM = 0.01
WORD_GAP_MM = 0.7
# A shorter bar would not look held; on tight lines it may then end over the next head.
SHORTEST_HOLD_MM = 2.0
# Marks whose lowest places follow each other more closely than this stand on one height.
SAME_HEIGHT_MM = 2.5
# Letters of the sans type are no wider than this share of its size on the average.
LETTER_WIDTH = 0.58


@dataclass(frozen=True, slots=True)
class _Placed:
    """A mark with its room: ``anchor`` is the sign's x = 0, ``box`` holds sign and word.

    ``word_left`` is None where the word stands elsewhere on the page.
    """

    mark: Mark
    anchor: float
    hold_length: float
    box: Box
    word_left: float | None


def add_marks(engraved: Engraved, marks: Iterable[Mark], has_words: bool = True) -> Engraved:
    """The engraving with the marks drawn on it; an engraving without marks stays as it is.

    Without words only the signs are drawn, for a page that says beside them what they ask.

    Raises:
        EngravingError: a mark names a note that is not on the staff.
    """
    given = tuple(marks)
    for mark in given:
        if engraved.system_of(mark.place.note_id) is None:
            raise EngravingError(
                f"The mark '{mark.move.value}' at {mark.place.address} has no note on the staff; "
                "work the plan out again from this tune."
            )
    systems = tuple(_with_marks(system, given, has_words) for system in engraved.systems)
    return replace(engraved, systems=systems)


def _with_marks(system: System, marks: tuple[Mark, ...], has_words: bool) -> System:
    own = [mark for mark in marks if mark.place.note_id in system.notes]
    if not own:
        return system
    placed = _level([_lowest(system, mark, has_words) for mark in own])
    spread = _spread(sorted(placed, key=lambda one: one.box.left))
    return system.with_added("".join(_drawn(one) for one in spread), [one.box for one in spread])


def _lowest(system: System, mark: Mark, has_words: bool) -> _Placed:
    """The mark in the lowest place that is free above its note."""
    note = system.notes[mark.place.note_id]
    length = _hold_length(system, mark, note)
    anchor = note.left if mark.move is Move.HOLD else note.centre
    sign = sign_box(mark.move, length)
    left, right = anchor + sign.left, anchor + sign.right
    word_left = None
    if has_words:
        word_width = LETTER_WIDTH * WORD_SIZE_MM * len(mark.move.value)
        word_left = right + WORD_GAP_MM
        if word_left + word_width > system.frame.right:
            word_left = left - WORD_GAP_MM - word_width
        left, right = min(left, word_left), max(right, word_left + word_width)
    floor = _free_above(system, left, right)
    box = Box(left, floor - CLEARANCE_MM - SIGN_HEIGHT_MM, right - left, SIGN_HEIGHT_MM)
    return _Placed(mark, anchor, length, box, word_left)


def _hold_length(system: System, mark: Mark, note: Box) -> float:
    """A hold reaches to the note that waits for it, or to the end of the line."""
    waiting = system.notes.get(mark.moved.note_id)
    end = waiting.left if waiting and waiting.left > note.left else system.staff.right
    if mark.moved.note_id == mark.place.note_id:
        end = note.left + HOLD_LENGTH_MM
    return max(SHORTEST_HOLD_MM, end - note.left - WORD_GAP_MM)


def _free_above(system: System, left: float, right: float) -> float:
    """The top of everything that stands between two places of the line."""
    column = Box(left - CLEARANCE_MM, -1e3, right - left + 2 * CLEARANCE_MM, 2e3)
    tops = [box.top for box in system.obstacles if box.overlaps(column)]
    return min([system.staff.top, *tops])


def _level(placed: list[_Placed]) -> list[_Placed]:
    """Marks at about the same height are raised to the highest of them."""
    levels: list[float] = []
    tops = sorted(one.box.top for one in placed)
    for above, top in zip([-1e3, *tops], tops, strict=False):
        levels.append(levels[-1] if top - above < SAME_HEIGHT_MM else top)
    level_of = dict(zip(tops, levels, strict=True))
    return [_raised(one, level_of[one.box.top]) for one in placed]


def _spread(placed: list[_Placed]) -> list[_Placed]:
    """Marks that would meet step up, in reading order."""
    standing: list[_Placed] = []
    for one in placed:
        while met := [o for o in standing if o.box.overlaps(one.box.grown(BETWEEN_MARKS_MM))]:
            top = min(other.box.top for other in met) - STEP_MM
            one = _raised(one, top - BETWEEN_MARKS_MM - one.box.height)
        standing.append(one)
    return standing


def _raised(one: _Placed, top: float) -> _Placed:
    return replace(one, box=replace(one.box, top=top))


def _drawn(one: _Placed) -> str:
    baseline = mm(one.box.bottom)
    word = one.mark.move.value
    said = (
        ""
        if one.word_left is None
        else f'<text x="{mm(one.word_left)}" y="{baseline}" font-family="{SANS}" '
        f'font-size="{WORD_SIZE_MM}">{word}</text>'
    )
    return (
        f'<g class="mark mark-{word}" data-note="{one.mark.place.note_id}">'
        f'<g transform="translate({mm(one.anchor)} {baseline})">'
        f"{mark_sign(one.mark.move, one.hold_length)}</g>{said}</g>"
    )
