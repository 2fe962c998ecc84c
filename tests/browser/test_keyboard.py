"""Whole journeys by the keyboard alone: everything is reached, in order, in sight, with no trap.

WCAG 2.2: 2.1.1 Keyboard, 2.1.2 No keyboard trap, 2.4.1 Bypass blocks, 2.4.3 Focus order,
2.4.7 Focus visible, 2.4.11 Focus not obscured.
"""

from __future__ import annotations

from itertools import groupby
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Look

pytestmark = pytest.mark.browser

PAGES = (
    "/", "/events/new", "/events/1/order", "/events/3/drums", "/events/3/tunes/9", "/sets/4",
    "/tunes", "/people/1/readiness", "/players/3/events/3", "/events/1/line-up", "/style",
)  # fmt: skip
MOST_TABS = 400
THIN_PX = 2

# What the Tab key may reach, in the order of the page; of radio buttons of one name, one.
REACHED_BY_TAB = """() => {
  const radios = new Set();
  const all = document.querySelectorAll(
    'a[href], button, input, select, textarea, summary, [tabindex]');
  return [...all].filter((each) => {
    if (each.tabIndex < 0 || each.disabled || each.type === 'hidden') return false;
    if (!each.checkVisibility({visibilityProperty: true})) return false;
    if (each.type !== 'radio') return true;
    const group = `${each.form && [...document.forms].indexOf(each.form)} ${each.name}`;
    const chosen = [...document.getElementsByName(each.name)].some(
      (other) => other.form === each.form && other.checked);
    if (chosen ? !each.checked : radios.has(group)) return false;
    radios.add(group);
    return true;
  });
}"""
HERE = """() => {
  const here = document.activeElement;
  if (here === document.body) return null;
  const {outlineStyle, outlineWidth} = getComputedStyle(here);
  const box = here.getBoundingClientRect();
  return {
    name: here.outerHTML.slice(0, 120),
    isInSight: box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth,
    line: outlineStyle === 'none' ? 0 : parseFloat(outlineWidth),
  };
}"""
WANTED = f"() => ({REACHED_BY_TAB})().map((each) => each.outerHTML.slice(0, 120))"
NAME = """() => {
  const here = document.activeElement;
  const label = here.labels && here.labels[0];
  return (here.getAttribute('aria-label') || (label || here).innerText || here.value || '')
    .replace(/\\s+/g, ' ').trim();
}"""


@pytest.mark.parametrize("address", PAGES)
def test_the_tab_key_reaches_everything_in_order_and_in_sight(
    service: str, look: Look, address: str
) -> None:
    page = look(service + address, "laptop").page
    page.emulate_media(reduced_motion="reduce")
    wanted = page.evaluate(WANTED)
    reached = steps(page)
    # the parts of a day or a time are stops of their own, in one field
    assert once([step["name"] for step in reached]) == once(wanted)
    assert [step["name"] for step in reached if not step["isInSight"]] == []
    assert [step["name"] for step in reached if step["line"] < THIN_PX] == []


def once(names: list[str]) -> list[str]:
    return [name for name, _ in groupby(names)]


def steps(page: Page) -> list[Any]:
    """What has the focus after each press of Tab, until it leaves the page."""
    found = []
    for _ in range(MOST_TABS):
        page.keyboard.press("Tab")
        here = page.evaluate(HERE)
        if here is None:
            return found
        found.append(here)
    raise AssertionError(f"the Tab key is caught at {found[-1]['name']}")


def go_to(page: Page, name: str) -> None:
    """Press Tab until something of this name has the focus."""
    for _ in range(MOST_TABS):
        page.keyboard.press("Tab")
        if page.evaluate(NAME).startswith(name):
            return
    raise AssertionError(f"the Tab key does not reach {name!r}")


def test_the_skip_link_comes_first_is_seen_and_leads_past_the_rooms(
    service: str, look: Look
) -> None:
    page = look(f"{service}/events", "phone").page
    page.keyboard.press("Tab")
    assert page.evaluate(NAME) == "To the page"
    box = page.locator(".skip").bounding_box()
    assert box is not None
    assert box["x"] >= 0
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.closest('main') !== null")


def test_a_pipe_major_plans_an_event_without_a_mouse(service: str, look: Look) -> None:
    page = look(f"{service}/events/new", "laptop").page
    go_to(page, "Name")
    page.keyboard.type("Keys only")
    go_to(page, "What is asked")
    page.keyboard.type("Exhibition, st")
    go_to(page, "Add a set")
    page.keyboard.type("4 Keep")
    go_to(page, "Add it")
    page.keyboard.press("Enter")
    page.get_by_role("group", name="Item 1").wait_for()
    go_to(page, "Plan this event")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("Keys only")
    expect(page.locator(".kind").first).to_have_text("exhibition", ignore_case=True)
    expect(page.get_by_role("link", name="The Heronry at Oxenwath").first).to_be_visible()


def test_a_drum_sergeant_agrees_a_mark_without_a_mouse(service: str, look: Look) -> None:
    page = look(f"{service}/events/2/drums?only=open", "laptop").page
    go_to(page, "Who says so")
    page.keyboard.press("Control+A")
    page.keyboard.type("Morna Gristhwaite")
    go_to(page, "Agree")
    page.keyboard.press("Enter")
    expect(page.locator("#strips")).to_contain_text("Agreed by Morna Gristhwaite")


def test_a_player_reads_their_card_and_comes_back_without_a_mouse(service: str, look: Look) -> None:
    page = look(f"{service}/players/events/2", "phone").page
    go_to(page, "Tam Owersike")
    page.keyboard.press("Enter")
    expect(page.locator("main")).to_contain_text("You play")
    go_to(page, "Tam Owersike")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("Tam Owersike")
    page.context.clear_cookies()
