"""Every page in a real browser: nothing to complain of, nothing too wide, readable by everybody.

The rules of axe-core stand for WCAG 2.2 AA as far as a machine can tell.
"""

from __future__ import annotations

from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from tests.browser.conftest import Look
from tests.pages import ALWAYS, OF_THE_DEMO

pytestmark = pytest.mark.browser

# The strokes inside a drawing are no elements of a page; the drawing itself has its name.
WITHOUT_INK = {"exclude": [[".music-page svg g"]]}
SMALLEST_TARGET_PX = 24
"""WCAG 2.2, success criterion 2.5.8 (level AA)."""
GRAVE = ("serious", "critical")

SMALL_TARGETS = """size => [...document.querySelectorAll(
    'button, summary, input, select, .act, nav a, .doors a, .ledger .name a, .names a')]
  .filter(each => each.type !== 'hidden' && !each.closest('.unseen') && !each.matches('.unseen'))
  .filter(each => each.checkVisibility())
  .filter(each => !each.closest('label.tick'))
  .map(each => [each.outerHTML.slice(0, 80), each.getBoundingClientRect()])
  .filter(([, box]) => box.width > 0 && (box.width < size || box.height < size))
  .map(([name, box]) => `${name} ${box.width}x${box.height}`)"""
MOST_SHIFT = 0.05
WATCH_SHIFTS = """window.shifted = 0;
new PerformanceObserver((list) => {
  for (const each of list.getEntries()) window.shifted += each.value;
}).observe({type: "layout-shift", buffered: true});"""
TOO_WIDE = "document.documentElement.scrollWidth - document.documentElement.clientWidth"


def grave_barriers(page: Page) -> list[Any]:
    found = Axe().run(page, context=WITHOUT_INK).response["violations"]
    return [
        (each["id"], [node["html"][:120] for node in each["nodes"][:3]])
        for each in found
        if each["impact"] in GRAVE
    ]


@pytest.mark.parametrize("address", [*ALWAYS, *OF_THE_DEMO])
def test_a_page_on_a_phone_in_light(service: str, look: Look, address: str) -> None:
    looked = look(service + address, "phone", theme="light", script=WATCH_SHIFTS)
    assert looked.page.evaluate(TOO_WIDE) <= 0
    assert looked.page.evaluate("window.shifted") <= MOST_SHIFT
    assert looked.page.evaluate(SMALL_TARGETS, SMALLEST_TARGET_PX) == []
    assert grave_barriers(looked.page) == []
    assert looked.complaints == []


@pytest.mark.parametrize("address", [*ALWAYS, *OF_THE_DEMO])
def test_a_page_on_a_laptop_in_the_dark(service: str, look: Look, address: str) -> None:
    looked = look(service + address, "laptop", theme="dark")
    assert looked.page.evaluate(TOO_WIDE) <= 0
    assert grave_barriers(looked.page) == []
    assert looked.complaints == []


@pytest.mark.parametrize(
    "address",
    ["/", "/events", "/events/new", "/sets", "/sets/new", "/tunes", "/people", "/people/readiness",
     "/players"],
)  # fmt: skip
def test_a_page_of_an_empty_library(empty_service: str, look: Look, address: str) -> None:
    looked = look(empty_service + address, "phone")
    assert looked.page.evaluate(TOO_WIDE) <= 0
    assert looked.page.evaluate(SMALL_TARGETS, SMALLEST_TARGET_PX) == []
    assert grave_barriers(looked.page) == []
    assert looked.complaints == []


@pytest.mark.slow
@pytest.mark.parametrize("address", [*ALWAYS, *OF_THE_DEMO])
def test_a_page_on_a_small_phone(service: str, look: Look, address: str) -> None:
    assert look(service + address, "small").page.evaluate(TOO_WIDE) <= 0


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
