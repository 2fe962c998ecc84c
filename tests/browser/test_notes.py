"""Phrasing on the staff: any note is reached by pressing on it, and by the arrow keys alone."""

from __future__ import annotations

import re

import pytest

from tests.browser.conftest import Look

pytestmark = pytest.mark.browser

PAGE = "/events/3/tunes/9"


@pytest.mark.parametrize("size", ["phone", "laptop"])
def test_a_note_is_chosen_by_pressing_on_it(service: str, look: Look, size: str) -> None:
    looked = look(service + PAGE, size)
    note = looked.page.locator("g.note:visible").nth(30)
    note.scroll_into_view_if_needed()
    box = note.bounding_box()
    assert box is not None
    looked.page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    chosen = looked.page.locator("#note .lead")
    chosen.wait_for()
    assert looked.page.locator(".frame:visible").count() == 1
    looked.page.wait_for_url(re.compile(r"[?]note=\d"))
    assert looked.page.locator("#note input[name=move]").count() == 7
    assert looked.complaints == []


def test_the_arrow_keys_go_from_note_to_note_and_a_mark_is_set_without_a_mouse(
    service: str, look: Look
) -> None:
    page = look(service + PAGE, "laptop").page
    page.locator(".notes-of").focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    page.get_by_role("heading", name="Part 1, bar 1, beat 2: C").wait_for()
    page.keyboard.press("ArrowLeft")
    page.get_by_role("heading", name="Part 1, bar 1, beat 1: low A").wait_for()
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.name") == "move":
            break
    page.keyboard.press("End")
    while page.evaluate("document.activeElement.value") != "leave":
        page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    page.get_by_text("Left as written, by hand").wait_for()
    page.get_by_role("button", name="Leave it to the planner").first.click()
    page.get_by_text("Lean on low A, the next beat pays").first.wait_for()


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_another_occasion_shows_how_the_marks_change(
    service: str, look: Look, scripts: bool
) -> None:
    page = look(service + PAGE, "laptop", scripts=scripts).page
    before = page.locator(".mark-here").count()
    page.get_by_label("Look at it on another occasion").select_option("parade:massed")
    if not scripts:
        page.get_by_role("button", name="Look", exact=True).click()
    page.get_by_role("heading", name="Parade, massed bands: what changes").wait_for()
    assert page.locator(".mark-here").count() < before
    page.get_by_role("link", name="Back to Oxenwath Show band contest").click()
    page.wait_for_url(f"**{PAGE}")
    assert page.locator(".mark-here").count() == before


def test_without_a_script_a_note_is_chosen_from_the_list(service: str, look: Look) -> None:
    page = look(service + PAGE, "phone", scripts=False).page
    page.get_by_label("Note", exact=True).select_option("1/1/0/1")
    page.get_by_role("button", name="Show this note").click()
    assert page.get_by_role("heading", name="Part 1, bar 1, beat 2: C").count() == 1
    assert "A breath is for people to set" in page.content()
