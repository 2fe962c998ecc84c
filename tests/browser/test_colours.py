"""Every mark can be told from every other when the colours are taken away, or are not ours.

WCAG 2.2: 1.4.1 Use of colour, 1.4.11 Non-text contrast. Forced colours: CSS Color Adjustment 1.
"""

from __future__ import annotations

from io import BytesIO
from itertools import combinations
from typing import Any

import pytest
from PIL import Image, ImageChops, ImageOps
from playwright.sync_api import Browser, Page

from tests.browser.conftest import SIZES

pytestmark = pytest.mark.browser

GROUPS = {
    "verdicts": ".legend .verdict-only > svg",
    "moves": ".legend > li:not(.verdict-only) > svg",
    "findings": ".findings li > svg",
    "looks of a drawing": "#timeline .looks svg",
    "bars of a strip": ".bar:nth-child(-n+4)",
}
WAYS: dict[str, Any] = {
    "light": {"color_scheme": "light"},
    "dark": {"color_scheme": "dark"},
    "forced": {"forced_colors": "active"},
    "forced and dark": {"forced_colors": "active", "color_scheme": "dark"},
}
LEAST_APART, LEAST_CONTRAST = 0.04, 3.0
"""Which share of the dots two marks must differ in; 1.4.11 asks for 3 to 1 against the paper."""
INK_BEGINS = 96


@pytest.mark.parametrize("way", list(WAYS))
def test_marks_differ_by_shape_and_stand_out_from_the_paper(
    browser: Browser, service: str, way: str
) -> None:
    width, height = SIZES["laptop"]
    window = browser.new_context(viewport={"width": width, "height": height}, **WAYS[way])
    page = window.new_page()
    page.goto(f"{service}/style")
    for name, selector in GROUPS.items():
        marks = pictures(page, selector)
        assert len(marks) >= 3, name
        assert [contrast(mark) for mark in marks if contrast(mark) < LEAST_CONTRAST] == [], name
        shapes = [shape(mark) for mark in marks]
        for (one, first), (other, second) in combinations(enumerate(shapes), 2):
            assert apart(first, second) > LEAST_APART, f"{name}: {one} and {other}"
    window.close()


def test_the_room_one_is_in_can_be_told_in_forced_colours(browser: Browser, service: str) -> None:
    window = browser.new_context(forced_colors="active")
    page = window.new_page()
    page.goto(f"{service}/events")
    line = "(each) => getComputedStyle(each).borderBottomColor"
    here = page.locator(".rooms a[aria-current]").evaluate(line)
    others = page.locator(".rooms a:not([aria-current])").all()
    assert len(others) >= 4
    assert here not in {each.evaluate(line) for each in others}
    window.close()


def pictures(page: Page, selector: str) -> list[Image.Image]:
    """The elements as they are drawn, in grey."""
    shots = [each.screenshot() for each in page.locator(selector).all()]
    return [Image.open(BytesIO(shot)).convert("L") for shot in shots]


def shape(mark: Image.Image) -> Image.Image:
    """Where there is ink, as black on white, whatever the colours are."""
    stretched = ImageOps.autocontrast(mark)
    paper = max(stretched.getcolors(256) or [(0, 255)])[1]
    ink = stretched if paper > INK_BEGINS else ImageOps.invert(stretched)
    return ink.point(lambda grey: 255 if grey > INK_BEGINS else 0)


def apart(one: Image.Image, other: Image.Image) -> float:
    """The share of the dots that differ; marks of unlike size are laid corner on corner."""
    size = (max(one.width, other.width), max(one.height, other.height))
    first, second = (Image.new("L", size, 255) for _ in range(2))
    first.paste(one)
    second.paste(other)
    differs = ImageChops.difference(first, second).histogram()[255]
    return differs / (size[0] * size[1])


def contrast(mark: Image.Image) -> float:
    """The contrast of the strongest ink against the commonest grey, the paper (WCAG's formula)."""
    paper = max(mark.getcolors(256) or [(0, 255)])[1]
    darkest, lightest = mark.getextrema()
    return max(_ratio(paper, int(grey)) for grey in (darkest, lightest))


def _ratio(one: int, other: int) -> float:
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(grey: int) -> float:
    part = grey / 255
    return part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
