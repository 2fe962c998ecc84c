"""Where does each label go, so that none lies on another or on another's thread?

A label hangs from its point by a thread, in the nearest row with room for both. Labels reach to the
right of their points; those that would leave the drawing lie across the end of the thread, or reach
to the left. What finds no room is left away: the same is told in words beside every drawing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from api.display.drawing.ink import FONT_PX, ROW_PX, Frame, Line, Text, shortened, text_width

ASIDE_PX = 4.0
BETWEEN_PX = 8.0
# From the point a thread hangs from to the top of the nearest label.
DROP_PX = 5.0
BASELINE_PX = 0.78 * FONT_PX

# The ways a label can lie: from its thread on, up to its thread, or with the thread above it.
ACROSS = "across"
# More labels than these are placed in the usual way only.
MANY = 14
# How many labels that would fit to the right are tried to the left instead?
NEAR = 5

Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Wanted:
    """A label somebody wants: at which percent of the width, and its words.

    ``short`` stands in its place where there is no room for all of them.
    """

    x: float
    text: str
    kind: str = "label"
    short: str = ""


Placed = tuple[Wanted, str, int]
"""A label, which way it lies at its thread, and its row."""


@dataclass(frozen=True, slots=True)
class Labels:
    """What was placed: the words, their threads, and how many rows are taken."""

    texts: tuple[Text, ...]
    threads: tuple[Line, ...]
    rows: int


def place_labels(
    wanted: Iterable[Wanted], frame: Frame, y: float, most_rows: int, *, above: bool = False
) -> Labels:
    """Labels hanging from ``y`` in at most so many rows, or standing above it."""
    labels = sorted((_fitted(each, frame) for each in wanted), key=lambda each: each.x)
    placed = _best_placed(labels, frame, most_rows)
    return Labels(
        texts=tuple(_text(each, frame, y, above) for each in placed),
        threads=tuple(_thread(each, y, above) for each in placed),
        rows=max((row + 1 for _, _, row in placed), default=0),
    )


def _best_placed(labels: Sequence[Wanted], frame: Frame, most_rows: int) -> tuple[Placed, ...]:
    """Every label if there is room, else some or all in short, else as many as can be."""
    full = _most_placed(labels, frame, most_rows)
    there = {each.x for each, _, _ in full}
    if len(full) == len(labels) or not any(each.short for each in labels):
        return full
    mixed = [each if each.x in there else _in_short(each) for each in labels]
    tries = [full, _most_placed(mixed, frame, most_rows)]
    if len(tries[-1]) < len(labels):
        tries.append(_most_placed([_in_short(each) for each in labels], frame, most_rows))
    return max(tries, key=len)


def _in_short(label: Wanted) -> Wanted:
    return replace(label, text=label.short or label.text)


def _most_placed(labels: Sequence[Wanted], frame: Frame, most_rows: int) -> tuple[Placed, ...]:
    """The way with the most labels, then the fewest rows, out of a few that are worth trying."""
    reach = [_reach(each, frame, "start")[1] for each in labels]
    usual = next((at for at, end in enumerate(reach) if end > frame.width_px), len(labels))
    best = _placed(labels, usual, frame, most_rows)
    if len(best) == len(labels) or len(labels) > MANY:
        return best
    near = range(max(0, usual - NEAR), min(len(labels), usual + 1) + 1)
    tries = [best, *(_placed(labels, at, frame, most_rows) for at in near if at != usual)]
    return max(tries, key=lambda each: (len(each), -max((row for _, _, row in each), default=0)))


def _placed(
    labels: Sequence[Wanted], split: int, frame: Frame, most_rows: int
) -> tuple[Placed, ...]:
    """The labels before the split to the right of their points, the others to the left.

    From the middle outwards, so that a thread that goes far has nothing on its way.
    """
    taken = _Taken([[] for _ in range(most_rows)])
    to_right = [(each, "start") for each in reversed(labels[:split])]
    placed = []
    for each, anchor in (*to_right, *((each, "end") for each in labels[split:])):
        found = taken.find(each, frame, anchor)
        if found is not None:
            placed.append((each, *found))
    return tuple(sorted(placed, key=lambda found: found[0].x))


def height_of(labels: Labels) -> float:
    """Pixels that the rows of labels take with their threads."""
    return DROP_PX + labels.rows * ROW_PX if labels.rows else 0.0


@dataclass(slots=True)
class _Taken:
    """What of each row is taken, in pixels, by labels and by the threads of deeper ones."""

    rows: list[list[Span]] = field(default_factory=list)

    def find(self, label: Wanted, frame: Frame, anchor: str) -> tuple[str, int] | None:
        other = "start" if anchor == "end" else "end"
        for way in (anchor, ACROSS, other):
            span = _reach(label, frame, way)
            if span[0] < 0 or span[1] > frame.width_px:
                continue
            row = self._free_row(span, frame.px(label.x))
            if row is not None:
                self._take(row, span, frame.px(label.x))
                return way, row
        return None

    def _free_row(self, span: Span, thread: float) -> int | None:
        for number, row in enumerate(self.rows):
            if not _meets(span, row):
                return number
            if _meets((thread, thread), row):
                return None  # its thread cannot go further
        return None

    def _take(self, row: int, span: Span, thread: float) -> None:
        self.rows[row].append(span)
        for above in self.rows[:row]:
            above.append((thread, thread))


def _meets(span: Span, others: Sequence[Span]) -> bool:
    return any(span[0] < end + BETWEEN_PX and start - BETWEEN_PX < span[1] for start, end in others)


def _fitted(label: Wanted, frame: Frame) -> Wanted:
    """Cut to the width of the drawing."""
    most = frame.width_px - ASIDE_PX
    return replace(label, text=shortened(label.text, most))


def _reach(label: Wanted, frame: Frame, way: str) -> Span:
    at, width = frame.px(label.x), text_width(label.text)
    if way == "start":
        return at, at + ASIDE_PX + width
    if way == "end":
        return at - ASIDE_PX - width, at
    left = min(at, frame.width_px - width)
    return left, left + width


def _text(placed: Placed, frame: Frame, y: float, above: bool) -> Text:
    label, way, row = placed
    base = y - DROP_PX - row * ROW_PX - (ROW_PX - BASELINE_PX) / 2
    if not above:
        base = y + DROP_PX + row * ROW_PX + BASELINE_PX + (ROW_PX - FONT_PX) / 2
    aside = {"start": ASIDE_PX, "end": -ASIDE_PX}.get(way)
    if aside is None:
        aside = round(_reach(label, frame, way)[0] - frame.px(label.x), 1)
    return Text(label.x, base, label.text, "end" if way == "end" else "start", label.kind, aside)


def _thread(placed: Placed, y: float, above: bool) -> Line:
    label, way, row = placed
    far = DROP_PX + row * ROW_PX
    if way != ACROSS:
        far += ROW_PX - (ROW_PX - FONT_PX) / 2
    return Line(label.x, y, label.x, y - far if above else y + far, "thread")
