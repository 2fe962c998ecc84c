"""How does an engraving become light enough for paper, and fit for the screen?

The paper printer pays for every element, so for paper all shapes of one kind are poured into one
path; identities are gone, the ink is the same. Text stays text, in the shipped family. The screen
gets the full drawing with its identities, at the width of the page.

Reads what ``engraved.py`` writes: g (translate and scale), path and text.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from xml.etree import ElementTree
from xml.etree.ElementTree import Element
from xml.sax.saxutils import escape, quoteattr

from planner.engraving.path_data import Placing, placed_path

SVG = "{http://www.w3.org/2000/svg}"
# A hundredth of a millimetre is finer than any printer's dot.
UNITS_PER_MM = 100.0
# Lines of nearly the same thickness share a path: the step is a printer's dot.
WIDTH_STEP = 4

#: What the static stylesheet needs for drawings on the screen; nothing of it is inline.
SCREEN_CSS = """\
svg.music { display: block; max-width: 100%; height: auto; color: inherit; }
svg.music text { fill: currentColor; }
"""

_TRANSFORM = re.compile(r"(translate|scale)\(([^)]*)\)")
_KEPT_STROKE = ("stroke-linecap", "stroke-linejoin", "stroke-dasharray")
_KEPT_TEXT = ("font-family", "font-weight", "font-style", "text-anchor")


@dataclass(frozen=True, slots=True)
class _Kind:
    """Shapes of one kind share a path. Mirrored fills keep apart: winding both ways makes holes."""

    is_filled: bool
    is_mirrored: bool = False
    stroke: tuple[tuple[str, str], ...] = ()


def flatten(svg: str) -> str:
    """The same drawing in a few paths, for paper."""
    root = ElementTree.fromstring(svg)
    paths: dict[_Kind, list[str]] = {}
    texts: list[str] = []
    for element, placing in _leaves(root, Placing(UNITS_PER_MM, UNITS_PER_MM)):
        if element.tag == f"{SVG}text":
            texts.append(_text(element, placing))
            continue
        data = placed_path(element.get("d", ""), placing)
        for kind in _kinds(element, placing):
            paths.setdefault(kind, []).append(data)
    drawn = "".join(_joined(kind, data) for kind, data in paths.items())
    view = " ".join(f"{float(n) * UNITS_PER_MM:.0f}" for n in root.get("viewBox", "").split())
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{root.get("width")}" '
        f'height="{root.get("height")}" viewBox="{view}">{drawn}{"".join(texts)}</svg>'
    )


def for_screen(svg: str, title: str, prefix: str = "") -> str:
    """The full drawing with a title for those who do not see it.

    ``prefix`` goes before every identity, so that two drawings of one tune can share a page.
    """
    named = re.sub(r' id="([^"]+)"', rf' id="{prefix}\1"', svg) if prefix else svg
    return named.replace("<svg ", f'<svg role="img" aria-label={quoteattr(title)} ', 1)


def _leaves(element: Element, outer: Placing) -> Iterator[tuple[Element, Placing]]:
    placing = outer.then(_placing(element.get("transform", "")))
    if element.tag in (f"{SVG}path", f"{SVG}text"):
        yield element, placing
    for child in element:
        yield from _leaves(child, placing)


def _placing(transform: str) -> Placing:
    placing = Placing()
    for name, numbers in _TRANSFORM.findall(transform):
        x, *more = (float(number) for number in numbers.replace(",", " ").split())
        if name == "scale":
            placing = placing.then(Placing(x, more[0] if more else x))
        else:
            placing = placing.then(Placing(shift_x=x, shift_y=more[0] if more else 0.0))
    return placing


def _kinds(element: Element, placing: Placing) -> Iterator[_Kind]:
    is_line = element.get("fill") == "none" or not _has_area(element.get("d", ""))
    if not is_line:
        yield _Kind(is_filled=True, is_mirrored=placing.scale_y < 0)
    if element.get("stroke", "none") != "none":
        width = float(element.get("stroke-width", 1)) * abs(placing.scale_x)
        width = max(1, round(width / WIDTH_STEP)) * WIDTH_STEP
        kept = [(name, element.get(name, "")) for name in _KEPT_STROKE if element.get(name)]
        yield _Kind(is_filled=False, stroke=(("stroke-width", f"{width:g}"), *kept))


def _has_area(data: str) -> bool:
    """False for a straight line, which has nothing to fill."""
    return not re.fullmatch(r"M[-\d. ]+L[-\d. ]+", data)


def _joined(kind: _Kind, data: list[str]) -> str:
    paint = ' fill="none" stroke="black"' if kind.stroke else ""
    stroke = "".join(f' {name}="{value}"' for name, value in kind.stroke)
    return f'<path{paint}{stroke} d="{"".join(data)}"/>'


def _text(element: Element, placing: Placing) -> str:
    x, y = float(element.get("x", 0)), float(element.get("y", 0))
    size = float(element.get("font-size", 0)) * placing.scale_x
    kept = "".join(
        f" {name}={quoteattr(element.get(name, ''))}" for name in _KEPT_TEXT if element.get(name)
    )
    words = escape("".join(element.itertext()))
    return (
        f'<text x="{placing.x(x)}" y="{placing.y(y)}" font-size="{size:.0f}"{kept}>{words}</text>'
    )
