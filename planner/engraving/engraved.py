"""What comes from the engraver: lines of music as drawings, and where everything stands in them.

A ``System`` is one line of music. Its drawing and its boxes are in millimetres from the line's own
left edge and the top of its first drawing; y grows downwards, and the drawing may reach above 0
once something has been added on top. Lines are stacked by whoever prints them, so a line that
needs more room simply gets taller.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

#: CSS names of the shipped type; the printing room and the static stylesheet give them their files.
SERIF = "Pacestick Serif"
SANS = "Pacestick Sans"


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle in millimetres."""

    left: float
    top: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """The right edge."""
        return self.left + self.width

    @property
    def bottom(self) -> float:
        """The lower edge."""
        return self.top + self.height

    @property
    def centre(self) -> float:
        """Halfway between left and right."""
        return self.left + self.width / 2

    def grown(self, margin: float) -> Box:
        """The box with a margin on all sides."""
        return Box(
            self.left - margin, self.top - margin, self.width + 2 * margin, self.height + 2 * margin
        )

    def overlaps(self, other: Box) -> bool:
        """True when the two share some area; touching does not count."""
        is_beside = self.right <= other.left or other.right <= self.left
        is_above_or_below = self.bottom <= other.top or other.bottom <= self.top
        return not (is_beside or is_above_or_below)


def around(boxes: Iterable[Box]) -> Box:
    """The smallest box that holds them all.

    Raises:
        ValueError: there is none.
    """
    held = tuple(boxes)
    left, top = min(box.left for box in held), min(box.top for box in held)
    right, bottom = max(box.right for box in held), max(box.bottom for box in held)
    return Box(left, top, right - left, bottom - top)


@dataclass(frozen=True, slots=True)
class System:
    """One line of music.

    ``ink`` is the drawing as an SVG fragment. ``frame`` is what is shown. ``staff`` is the five
    lines. ``notes`` has the head of every note and gracenote by its identity, ``bars`` every bar
    by its own. ``obstacles`` are the boxes of all that is drawn and must not be drawn over.
    """

    ink: str
    frame: Box
    staff: Box
    notes: Mapping[str, Box]
    bars: Mapping[str, Box]
    obstacles: tuple[Box, ...] = ()

    @property
    def svg(self) -> str:
        """The line as an SVG document of its own, at its true size."""
        return svg_document(self.frame, self.ink)

    def with_added(self, ink: str, boxes: Iterable[Box]) -> System:
        """The line with something drawn on it, as much taller as that needs."""
        added = tuple(boxes)
        frame = around((self.frame, *added))
        return replace(
            self,
            ink=self.ink + ink,
            frame=Box(self.frame.left, frame.top, self.frame.width, frame.height),
            obstacles=self.obstacles + added,
        )


@dataclass(frozen=True, slots=True)
class Engraved:
    """A tune as drawn: its lines in order, the staff size used, and what the engraver remarked."""

    systems: tuple[System, ...]
    width_mm: float
    staff_mm: float
    gap_mm: float = 0.0
    remarks: tuple[str, ...] = field(default=())

    @property
    def height_mm(self) -> float:
        """Height of all lines below each other."""
        gaps = self.gap_mm * (len(self.systems) - 1)
        return sum(system.frame.height for system in self.systems) + gaps

    @property
    def svg(self) -> str:
        """All lines below each other as one SVG document, at its true size."""
        ink, top = [], 0.0
        for system in self.systems:
            shift = f"translate({mm(-system.frame.left)} {mm(top - system.frame.top)})"
            ink.append(f'<g transform="{shift}">{system.ink}</g>')
            top += system.frame.height + self.gap_mm
        return svg_document(Box(0, 0, self.width_mm, self.height_mm), "".join(ink))

    def system_of(self, note_id: str) -> int | None:
        """Index of the line that shows a note, None when no line does."""
        for index, system in enumerate(self.systems):
            if note_id in system.notes:
                return index
        return None


def svg_document(frame: Box, ink: str) -> str:
    """An SVG document that shows ``ink`` (in millimetres) within ``frame`` at its true size."""
    width, height = mm(frame.width), mm(frame.height)
    view = f"{mm(frame.left)} {mm(frame.top)} {width} {height}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="music" width="{width}mm" '
        f'height="{height}mm" viewBox="{view}" color="black" fill="currentColor">{ink}</svg>'
    )


def mm(length: float) -> str:
    """A length or position for an SVG attribute, to a hundredth of a millimetre."""
    text = f"{length:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
