"""Is the flat drawing the same ink in far fewer pieces, and the screen's whole?"""

from xml.etree import ElementTree

import pytest

from planner.engraving.engrave import engrave
from planner.engraving.engraved import Box, svg_document
from planner.engraving.flatten import flatten, for_screen
from planner.engraving.layout import A4
from planner.engraving.overlay import add_marks
from planner.engraving.signs import legend
from planner.marks.marks import Move
from tests.planner.engraving.demo import CORNERS, demo_tune
from tests.planner.engraving.ink import ink_of, spread
from tests.planner.engraving.marks_for_tests import marks_on_every

SVG = "{http://www.w3.org/2000/svg}"


# PDFium draws a polygon that stands alone fatter by up to a dot than as a piece of a path. How much
# ink that is hangs on how the dots fall; at this density it is least.
DPI_OF_AMOUNTS = 200


def assert_same_ink(full: str, width: float, height: float) -> None:
    flat = flatten(full)
    before, after = (ink_of(svg, width, height) for svg in (full, flat))
    assert (before & ~spread(after)).sum() < 0.002 * before.sum()
    assert (after & ~spread(before)).sum() < 0.002 * after.sum()
    was, now = (int(ink_of(svg, width, height, DPI_OF_AMOUNTS).sum()) for svg in (full, flat))
    assert was > 1000
    assert abs(was - now) < 0.04 * was


@pytest.mark.parametrize("name", ["heronry_at_oxenwath", "keepers_of_whinfathom_light"])
def test_a_marked_tune_has_the_same_ink_flat(name: str) -> None:
    plain = engrave(demo_tune(name), A4)
    marked = add_marks(plain, marks_on_every(7, plain))
    assert_same_ink(marked.svg, marked.width_mm, marked.height_mm)


@pytest.mark.parametrize("index", range(len(CORNERS)), ids=[corner.title for corner in CORNERS])
def test_the_corners_of_notation_have_the_same_ink_flat(index: int) -> None:
    drawn = engrave(CORNERS[index], A4)
    assert_same_ink(drawn.svg, drawn.width_mm, drawn.height_mm)


def test_the_legend_has_the_same_ink_flat() -> None:
    drawn = legend(Move)
    height = float(ElementTree.fromstring(drawn).get("height", "").removesuffix("mm"))
    assert_same_ink(drawn, 120.0, height)


def test_a_line_of_music_becomes_a_few_pieces() -> None:
    system = engrave(demo_tune("heronry_at_oxenwath"), A4).systems[0]
    flat = ElementTree.fromstring(flatten(system.svg))
    assert len(list(ElementTree.fromstring(system.svg).iter())) > 150
    assert len(list(flat.iter())) < 15


def test_the_flat_drawing_keeps_size_words_and_the_shipped_families() -> None:
    full = engrave(demo_tune("heronry_at_oxenwath"), A4)
    flat = ElementTree.fromstring(flatten(full.svg))
    texts = list(flat.iter(f"{SVG}text"))
    assert flat.get("width") == ElementTree.fromstring(full.svg).get("width")
    assert "Part 3" in {text.text for text in texts}
    assert {text.get("font-family") for text in texts} <= {"Pacestick Serif", "Pacestick Sans"}


def test_shapes_that_wind_against_each_other_leave_no_hole() -> None:
    square = '<path d="M1 1H4V4H1z"/>'
    mirrored = f'<g transform="translate(0 5) scale(1 -1)">{square}</g>'
    field = Box(0, 0, 5, 5)
    both = ink_of(flatten(svg_document(field, square + mirrored)), 5, 5)
    assert both.mean() == pytest.approx(9 / 25, abs=0.03)


def test_flattening_twice_gives_the_same_bytes() -> None:
    svg = engrave(demo_tune("heronry_at_oxenwath"), A4).svg
    assert flatten(svg) == flatten(svg)


def test_the_screen_gets_a_title_and_identities_of_its_own() -> None:
    svg = engrave(CORNERS[0], A4).svg
    shown = ElementTree.fromstring(for_screen(svg, 'The "Weir"', prefix="parade-"))
    ids = [element.get("id") for element in shown.iter() if element.get("id")]
    assert (shown.get("role"), shown.get("aria-label")) == ("img", 'The "Weir"')
    assert "parade-p1b1e0n0" in ids
    assert all(name and name.startswith("parade-") for name in ids)
