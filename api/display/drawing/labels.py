"""Where does each label go, so that none lies on another or on another's thread?

A label hangs from its point by a thread, in the nearest row with room for both. Labels reach to the
right of their points; those that would leave the drawing reach to the left. What finds no room is
left away: the same is told in words beside every drawing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from api.display.drawing.ink import FONT_PX, ROW_PX, Frame, Line, Text, shortened, text_width

ASIDE_PX = 4.0
BETWEEN_PX = 8.0
# From the point a thread hangs from to the top of the nearest label.
DROP_PX = 5.0
BASELINE_PX = 0.78 * FONT_PX

Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Wanted:
    """A label somebody wants: at which percent of the width, and its words."""

    x: float
    text: str
    kind: str = "label"


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
    labels = [_fitted(each, frame) for each in wanted]
    to_left = [each for each in labels if _reach(each, frame, "start")[1] > frame.width_px]
    to_right = [each for each in labels if each not in to_left]
    taken = _Taken([[] for _ in range(most_rows)])
    placed: list[tuple[Wanted, str, int]] = []
    # Outer labels take the far rows, so threads never have to cross a label: from the middle out.
    for anchor, group in (("end", to_left), ("start", to_right)):
        for each in sorted(group, key=lambda label: label.x, reverse=anchor == "start"):
            found = taken.find(each, frame, anchor)
            if found is not None:
                placed.append((each, *found))
    placed.sort(key=lambda found: found[0].x)
    return Labels(
        texts=tuple(_text(each, anchor, row, y, above) for each, anchor, row in placed),
        threads=tuple(_thread(each, row, y, above) for each, _, row in placed),
        rows=max((row + 1 for _, _, row in placed), default=0),
    )


def height_of(labels: Labels) -> float:
    """Pixels that the rows of labels take with their threads."""
    return DROP_PX + labels.rows * ROW_PX if labels.rows else 0.0


@dataclass(slots=True)
class _Taken:
    """What of each row is taken, in pixels, by labels and by the threads of deeper ones."""

    rows: list[list[Span]] = field(default_factory=list)

    def find(self, label: Wanted, frame: Frame, anchor: str) -> tuple[str, int] | None:
        other = "start" if anchor == "end" else "end"
        for way in (anchor, other):
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
    """Cut to the room there is on its better side."""
    at = frame.px(label.x)
    most = max(at, frame.width_px - at) - ASIDE_PX
    return Wanted(label.x, shortened(label.text, most), label.kind)


def _reach(label: Wanted, frame: Frame, anchor: str) -> Span:
    at, width = frame.px(label.x), text_width(label.text)
    if anchor == "start":
        return at, at + ASIDE_PX + width
    return at - ASIDE_PX - width, at


def _text(label: Wanted, anchor: str, row: int, y: float, above: bool) -> Text:
    base = y - DROP_PX - row * ROW_PX - (ROW_PX - BASELINE_PX) / 2
    if not above:
        base = y + DROP_PX + row * ROW_PX + BASELINE_PX + (ROW_PX - FONT_PX) / 2
    dx = ASIDE_PX if anchor == "start" else -ASIDE_PX
    return Text(label.x, base, label.text, anchor, label.kind, dx)


def _thread(label: Wanted, row: int, y: float, above: bool) -> Line:
    far = DROP_PX + (row + 1) * ROW_PX - (ROW_PX - FONT_PX) / 2
    return Line(label.x, y, label.x, y - far if above else y + far, "thread")
