"""Which lines of music are in the engraver's SVG, and where does everything stand?

Reads the SVG that the engraver writes with its bounding boxes on, and hands on clean lines: the
same shapes, signs written out as paths, every stroke with its colour and width on itself (so no
stylesheet is needed), identities only for bars and notes, nothing hidden. Lengths become
millimetres; one engraver's unit is ``unit_mm``.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from xml.etree import ElementTree
from xml.etree.ElementTree import Element
from xml.sax.saxutils import escape

from planner.engraving.engraved import SERIF, Box, System, around, mm
from planner.errors import EngravingError

SVG = "{http://www.w3.org/2000/svg}"
XLINK_HREF = "{http://www.w3.org/1999/xlink}href"
# The engraver's text is set for a display; ending numbers want to be smaller beside gracenotes.
TEXT_SIZE = 0.8
# Above and below the ink a little white, so that nothing is cut off by rounding.
FRAME_MARGIN_MM = 0.3

_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
_LEVEL_LINE = re.compile(r"M(-?\d+) (-?\d+) L(-?\d+) \2")
_OWN_BAR = re.compile(r"p\d+b\d+e\d+$")
_OWN_NOTE = re.compile(r"p\d+b\d+e\d+n\d+([gt]\d+)?$")
# What is only a place holder, or says nothing in print.
_UNSEEN = {"placeholder", "bounding-box", "keySig", "systemMilestoneEnd", "pageMilestoneEnd"}


def read_systems(svg: str, unit_mm: float, line_mm: float) -> tuple[System, ...]:
    """The lines of one page of the engraver's SVG, from top to bottom."""
    root = ElementTree.fromstring(svg)
    glyphs = {
        group.get("id", ""): group[0].get("d", "")
        for group in root.iter(f"{SVG}g")
        if len(group) == 1 and group[0].get("transform") == "scale(1,-1)"
    }
    return tuple(_read_system(group, glyphs, unit_mm, line_mm) for group in _system_groups(root))


def read_lines(svg: str) -> list[dict[str, Box]]:
    """The bars of each line and the boxes of their staves, in the engraver's units."""
    return [dict(_bar_boxes(group)) for group in _system_groups(ElementTree.fromstring(svg))]


def _system_groups(root: Element) -> list[Element]:
    return [group for group in root.iter(f"{SVG}g") if _classes(group) == ["system"]]


def _read_system(group: Element, glyphs: dict[str, str], unit_mm: float, line_mm: float) -> System:
    boxes = [(name, kind, _scaled(box, unit_mm)) for name, kind, box in _boxes(group)]
    bars = {name: _scaled(box, unit_mm) for name, box in _bar_boxes(group)}
    whole = around([*bars.values(), *(box for _, _, box in boxes)])
    top = FRAME_MARGIN_MM - whole.top
    ink = "".join(_clean(child, glyphs) for child in group)
    return System(
        ink=f'<g transform="translate(0 {mm(top)}) scale({unit_mm:.6g})">{ink}</g>',
        frame=Box(0, 0, line_mm, whole.height + 2 * FRAME_MARGIN_MM),
        staff=_lowered(around(bars.values()), top),
        notes={name: _lowered(box, top) for name, kind, box in boxes if kind in ("note", "rest")},
        bars={name: _lowered(box, top) for name, box in bars.items()},
        obstacles=tuple(_lowered(box, top) for _, _, box in boxes),
    )


def _boxes(group: Element) -> Iterator[tuple[str, str, Box]]:
    """Identity, kind and box (in the engraver's units) of everything that has ink."""
    for element in group.iter(f"{SVG}g"):
        kinds = _classes(element)
        if kinds[-1:] != ["bounding-box"] or kinds[0] in ("system", "staff"):
            continue
        for rect in element.findall(f"{SVG}rect"):
            x, y, width, height = (float(rect.get(n, 0)) for n in ("x", "y", "width", "height"))
            if width > 0 and height > 0:
                yield (
                    element.get("id", "").removeprefix("bbox-"),
                    kinds[0],
                    Box(x, y, width, height),
                )


def _bar_boxes(group: Element) -> Iterator[tuple[str, Box]]:
    """Identity of every bar and the box of its five staff lines."""
    for measure in group.iter(f"{SVG}g"):
        if _classes(measure) != ["measure"]:
            continue
        for staff in measure.findall(f"{SVG}g"):
            if _classes(staff) == ["staff"]:
                yield measure.get("id", ""), around(_staff_lines(staff))


def _staff_lines(staff: Element) -> Iterator[Box]:
    for path in staff.findall(f"{SVG}path"):
        line = _LEVEL_LINE.fullmatch(path.get("d", ""))
        if line is not None:
            left, y, right = (float(number) for number in line.groups())
            yield Box(left, y, right - left, 0.0)


def _scaled(box: Box, factor: float) -> Box:
    return Box(box.left * factor, box.top * factor, box.width * factor, box.height * factor)


def _lowered(box: Box, by: float) -> Box:
    return Box(box.left, box.top + by, box.width, box.height)


def _classes(element: Element) -> list[str]:
    return element.get("class", "").split()


def _clean(element: Element, glyphs: dict[str, str]) -> str:
    """The element in our own few words: g, path and text."""
    tag = element.tag.removeprefix(SVG)
    if _UNSEEN & set(_classes(element)) or element.get("visibility") == "hidden":
        return ""
    if tag == "g":
        return _clean_group(element, glyphs)
    if tag == "text":
        return _clean_text(element)
    if tag == "use":
        return _clean_sign(element, glyphs)
    if tag in _OUTLINES:
        return _clean_outline(element, _OUTLINES[tag](element))
    raise EngravingError(f"The engraver drew a {tag}, which the printer does not know; report it.")


def _clean_group(element: Element, glyphs: dict[str, str]) -> str:
    inner = "".join(_clean(child, glyphs) for child in element)
    name = element.get("id", "")
    if not inner or not (_OWN_NOTE.match(name) or _OWN_BAR.match(name)):
        return inner
    kind = "bar" if _OWN_BAR.match(name) else "gracenote" if "g" in name else "note"
    return f'<g id="{name}" class="{kind}">{inner}</g>'


def _clean_text(element: Element) -> str:
    words = "".join(element.itertext()).strip()
    sizes = [part.get("font-size", "").removesuffix("px") for part in element.iter()]
    size = max((float(text) for text in sizes if text), default=0.0)
    if not words or not size:
        return ""
    anchor = element.get("text-anchor", "start")
    return (
        f'<text x="{element.get("x")}" y="{element.get("y")}" font-size="{size * TEXT_SIZE:.0f}" '
        f'font-family="{SERIF}" text-anchor="{anchor}">{escape(words)}</text>'
    )


def _clean_sign(element: Element, glyphs: dict[str, str]) -> str:
    name = element.get("href", element.get(XLINK_HREF, "")).removeprefix("#")
    x, y, scale, *_ = _NUMBER.findall(element.get("transform", ""))
    turned = f"translate({x} {y}) scale({scale} -{scale})"  # signs are drawn upside down
    return f'<path transform="{turned}" d="{glyphs[name]}"/>'


def _clean_outline(element: Element, outline: str) -> str:
    width = element.get("stroke-width", "0")
    kept = [(n, v) for n in ("fill", "stroke-linecap", "stroke-linejoin", "stroke-dasharray")
            if (v := element.get(n))]  # fmt: skip
    if float(width):
        kept += [("stroke", "currentColor"), ("stroke-width", width)]
    attributes = "".join(f' {name}="{value}"' for name, value in kept)
    return f'<path d="{outline}"{attributes}/>'


def _polygon(element: Element) -> str:
    points = element.get("points", "").split()
    closing = "z" if element.tag == f"{SVG}polygon" else ""
    return "M" + "L".join(point.replace(",", " ") for point in points) + closing


def _ellipse(element: Element) -> str:
    x, y, across, down = (float(element.get(name, 0)) for name in ("cx", "cy", "rx", "ry"))
    half = f"a{across:g} {down:g} 0 1 1"
    return f"M{x - across:g} {y:g}{half} {2 * across:g} 0{half} {-2 * across:g} 0z"


def _rectangle(element: Element) -> str:
    x, y, width, height = (float(element.get(name, 0)) for name in ("x", "y", "width", "height"))
    return f"M{x:g} {y:g}h{width:g}v{height:g}h{-width:g}z"


def _path(element: Element) -> str:
    return element.get("d", "")


_OUTLINES: dict[str, Callable[[Element], str]] = {
    "path": _path,
    "polygon": _polygon,
    "polyline": _polygon,
    "ellipse": _ellipse,
    "rect": _rectangle,
}
