"""What is a drawing made of? Blocks, lines, texts and signs, with everything worked out.

Conventions: ``x`` and widths are percent of the drawing's width, so that a drawing grows with the
window while its words keep their size; ``y`` and heights are pixels from the top, as are ``dx``.
``kind`` names a look, never a meaning that the words do not say too. A drawing comes in two frames,
laid out for the least width each is shown at: whatever does not overlap there never does.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

FONT_PX = 14.0
ROW_PX = 19.0
ELLIPSIS = "…"
# Measured on the shipped sans in bold, the wider cut: hundredths of the size, by kind of letter.
_WIDTHS = (
    (28, " ijlI.,:;'"),
    (36, "fJtr-()/"),
    (76, "wM"),
    (84, "mW%"),
    (68, "DGHNOQU&"),
)
_WIDTH_OF = {letter: width for width, letters in _WIDTHS for letter in letters}
_USUAL_WIDTH = 60


@dataclass(frozen=True, slots=True)
class Frame:
    """A width a drawing is made for, in pixels: the least it is ever shown at."""

    name: str
    width_px: float

    def px(self, percent: float) -> float:
        """Pixels of a share of the width."""
        return percent * self.width_px / 100

    def percent(self, px: float) -> float:
        """The share of the width that so many pixels are."""
        return 100 * px / self.width_px


WIDE = Frame("wide", 640.0)
NARROW = Frame("narrow", 284.0)
FRAMES = (WIDE, NARROW)


@dataclass(frozen=True, slots=True)
class Block:
    """A box from ``x``, ``width`` wide."""

    x: float
    width: float
    y: float
    height: float
    kind: str

    @property
    def end(self) -> float:
        """Where it ends, in percent."""
        return self.x + self.width


@dataclass(frozen=True, slots=True)
class Line:
    """A line from one point to another."""

    x1: float
    y1: float
    x2: float
    y2: float
    kind: str


@dataclass(frozen=True, slots=True)
class Text:
    """Words on the baseline ``y``; ``anchor`` is start, middle or end, ``dx`` moves them aside."""

    x: float
    y: float
    text: str
    anchor: str = "start"
    kind: str = ""
    dx: float = 0.0

    def span(self, frame: Frame) -> tuple[float, float]:
        """From where to where it reaches in a frame, in pixels."""
        width = text_width(self.text)
        at = frame.px(self.x) + self.dx
        left = at - {"start": 0.0, "middle": width / 2, "end": width}[self.anchor]
        return left, left + width


@dataclass(frozen=True, slots=True)
class Sign:
    """One of the signs of the drawings with its middle at a point."""

    x: float
    y: float
    kind: str


@dataclass(frozen=True, slots=True)
class Ink:
    """One drawing for one frame, ``height`` pixels high; what stands later lies on top."""

    frame: Frame
    height: float
    blocks: tuple[Block, ...] = ()
    lines: tuple[Line, ...] = ()
    texts: tuple[Text, ...] = ()
    signs: tuple[Sign, ...] = ()


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing in both frames: its name for those who hear it, and the same told in sentences.

    ``key`` is its id on the page; ``legend`` are (look, words) of the looks that need saying;
    ``caption`` is what has to be known first, if anything.
    """

    key: str
    name: str
    words: tuple[str, ...]
    drawn: tuple[Ink, ...]
    legend: tuple[tuple[str, str], ...] = ()
    caption: str = ""


def in_both_frames(draw: Callable[[Frame], Ink]) -> tuple[Ink, ...]:
    """The same drawn for a wide window and for a narrow one."""
    return tuple(draw(frame) for frame in FRAMES)


@dataclass(frozen=True, slots=True)
class Scale:
    """A straight scale: ``start`` lies at ``left`` percent, ``end`` at ``right`` percent."""

    start: float
    end: float
    left: float = 0.0
    right: float = 100.0

    def at(self, value: float) -> float:
        """Where a value lies, in percent."""
        return self.left + self.length(value - self.start)

    def length(self, amount: float) -> float:
        """How wide an amount is, in percent."""
        span = self.end - self.start
        return amount * (self.right - self.left) / span if span else 0.0


# The same words are measured for every place they are tried at.
@lru_cache(maxsize=2048)
def text_width(text: str) -> float:
    """At most how wide some words are, in pixels."""
    return sum(_WIDTH_OF.get(letter, _USUAL_WIDTH) for letter in text) * FONT_PX / 100


def shortened(text: str, most_px: float) -> str:
    """The words, cut with an ellipsis where they would be wider; empty where nothing would stay."""
    if text_width(text) <= most_px:
        return text
    kept = text
    while kept and text_width(kept + ELLIPSIS) > most_px:
        kept = kept[:-1].rstrip()
    return kept + ELLIPSIS if kept else ""
