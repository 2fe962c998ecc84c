"""Pages without an address of their own, that answer what was sent: refusals and questions."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Look
from tests.browser.test_looks import SMALL_TARGETS, SMALLEST_TARGET_PX, TOO_WIDE, grave_barriers

pytestmark = pytest.mark.browser

TUNE = "X:1\nT:Salt Stair\nR:march\nM:2/4\nL:1/8\nK:HP\n|: {g}A2 {d}A2 | {g}B2 {g}A2 :|\n"


def nothing_there(page: Page, service: str) -> None:
    page.goto(f"{service}/events/999")
    expect(page.locator("main")).to_contain_text("There is no event 999 in this library")


def a_tune_to_check(page: Page, service: str) -> None:
    page.goto(f"{service}/tunes/new")
    page.get_by_label("or its text in ABC").fill(TUNE)
    page.get_by_role("button", name="Read it").click()
    page.get_by_role("button", name="Keep this tune").wait_for()


def a_tune_that_is_none(page: Page, service: str) -> None:
    page.goto(f"{service}/tunes/new")
    page.get_by_label("or its text in ABC").fill("Hark")
    page.get_by_role("button", name="Read it").click()
    page.get_by_role("alert").wait_for()


def an_event_with_faults(page: Page, service: str) -> None:
    page.goto(f"{service}/events/new")
    page.evaluate("for (const form of document.forms) form.noValidate = true")
    page.locator("[name='route.pace_m']").fill("a stride")
    page.get_by_role("button", name="Plan this event").click()
    expect(page.get_by_role("alert")).to_contain_text("Not saved yet")
    expect(page.locator("[aria-invalid=true]").first).to_be_visible()


def a_print_without_permission(page: Page, service: str) -> None:
    """The library has a tune whose permission nobody has written down, and asks before printing."""
    tune = page.request.post(
        f"{service}/api/tunes/files",
        multipart={"file": {"name": "a.abc", "mimeType": "text/plain", "buffer": TUNE.encode()}},
    ).json()[0]["key"]
    a_set = {"number": 901, "name": "Stair", "entries": [{"tune_key": tune}]}
    a_set = page.request.post(f"{service}/api/sets", data=a_set).json()["key"]
    day = {"name": "Stairs", "setting": {"occasion": "parade"}, "items": [{"set_key": a_set}]}
    event = page.request.post(f"{service}/api/events", data=day).json()["key"]
    page.goto(f"{service}/events/{event}/phrased-music.pdf")
    expect(page.locator("main")).to_contain_text("Salt Stair")


@pytest.mark.parametrize(
    "ask",
    [
        nothing_there,
        a_tune_to_check,
        a_tune_that_is_none,
        an_event_with_faults,
        a_print_without_permission,
    ],
)
def test_an_answer_has_no_grave_barrier_either(
    service: str, look: Look, ask: Callable[[Page, str], None]
) -> None:
    page = look(f"{service}/about", "phone").page
    ask(page, service)
    assert page.evaluate(TOO_WIDE) <= 0
    assert page.evaluate(SMALL_TARGETS, SMALLEST_TARGET_PX) == []
    assert grave_barriers(page) == []
    page.emulate_media(color_scheme="dark")
    assert grave_barriers(page) == []
