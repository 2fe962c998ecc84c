"""Every page in a real browser: nothing to complain of, nothing too wide, readable by everybody.

The rules of axe-core stand for WCAG 2.2 AA as far as a machine can tell.
"""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.browser.conftest import Look

pytestmark = pytest.mark.browser

PAGES = (
    "/", "/events", "/events/new", "/events/1", "/events/2", "/events/1/edit",
    "/events/1/line-up", "/events/3/drums", "/players/3/events/1", "/events/3/tunes/9", "/sets",
    "/sets/new", "/sets/1", "/tunes", "/tunes/new", "/tunes/new/outline", "/tunes/1", "/tunes/18",
    "/tunes/1/edit", "/tunes/9/occasions", "/tunes/9/drum-score",
    "/events/1/tunes/18", "/people", "/people/new", "/people/1", "/rules",
    "/people/readiness", "/people/1/readiness", "/people/lists", "/events/1/people",
    "/events/1/day", "/events/2/fill", "/events/1/answers",
    "/players", "/players/3", "/players/3/events/3/tunes/9",
    "/rules/thresholds.gracenote.length", "/about", "/style",
)  # fmt: skip
# The strokes inside a drawing are no elements of a page; the drawing itself has its name.
WITHOUT_INK = {"exclude": [[".music-page svg g"]]}
SMALLEST_TARGET_PX = 24
GRAVE = ("serious", "critical")

SMALL_TARGETS = """size => [...document.querySelectorAll('button, summary, input, select, .act')]
  .filter(each => each.type !== 'hidden' && !each.closest('.unseen') && !each.matches('.unseen'))
  .filter(each => each.checkVisibility())
  .filter(each => !each.closest('label.tick'))
  .map(each => [each.outerHTML.slice(0, 80), each.getBoundingClientRect()])
  .filter(([, box]) => box.width > 0 && (box.width < size || box.height < size))
  .map(([name, box]) => `${name} ${box.width}x${box.height}`)"""


@pytest.mark.parametrize("size", ["phone", "laptop", pytest.param("small", marks=pytest.mark.slow)])
@pytest.mark.parametrize("address", PAGES)
def test_a_page_fits_its_window_and_the_browser_has_nothing_to_complain_of(
    service: str, look: Look, address: str, size: str
) -> None:
    looked = look(service + address, size)
    width = looked.page.evaluate("document.documentElement.clientWidth")
    assert looked.page.evaluate("document.documentElement.scrollWidth") <= width
    assert looked.complaints == []


@pytest.mark.parametrize("theme", ["light", pytest.param("dark", marks=pytest.mark.slow)])
@pytest.mark.parametrize("address", PAGES)
def test_a_page_has_no_grave_barrier(service: str, look: Look, address: str, theme: str) -> None:
    looked = look(service + address, "phone", theme=theme)
    found = Axe().run(looked.page, context=WITHOUT_INK).response["violations"]
    grave = [(each["id"], [n["html"][:120] for n in each["nodes"][:3]]) for each in found
             if each["impact"] in GRAVE]  # fmt: skip
    assert grave == []


@pytest.mark.parametrize("address", PAGES)
def test_everything_that_is_pressed_is_large_enough(service: str, look: Look, address: str) -> None:
    looked = look(service + address, "phone")
    assert looked.page.evaluate(SMALL_TARGETS, SMALLEST_TARGET_PX) == []


@pytest.mark.parametrize("size", ["phone", "laptop"])
def test_the_music_has_ink_at_every_size(service: str, look: Look, size: str) -> None:
    looked = look(f"{service}/tunes/1", size)
    drawn = looked.page.locator(".music-page svg:visible")
    assert drawn.count() >= 4
    box = drawn.first.bounding_box()
    assert box is not None
    assert box["height"] > 30


def test_the_focus_can_be_seen(service: str, look: Look) -> None:
    page = look(f"{service}/events").page
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    width = page.evaluate("getComputedStyle(document.activeElement).outlineWidth")
    assert width == "3px"
