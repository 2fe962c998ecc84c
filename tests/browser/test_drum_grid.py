"""A drum score is ticked: no beat of a bar is out of sight, and what was ticked is there again."""

from __future__ import annotations

import pytest

from tests.browser.conftest import Look

pytestmark = pytest.mark.browser

# A strathspey in common time, a march in 2/4, a jig in 6/8.
GRIDS = ("/tunes/9/drum-score", "/tunes/3/drum-score", "/tunes/14/drum-score?split=8")
SIDEWAYS = """() => [...document.querySelectorAll('.drum-bar .wide')]
    .filter(each => each.scrollWidth > each.clientWidth + 1).length"""


@pytest.mark.parametrize("address", GRIDS)
def test_every_beat_of_every_bar_is_in_sight(service: str, look: Look, address: str) -> None:
    looked = look(service + address, "laptop")
    assert looked.page.locator(".drum-bar").count() > 0
    assert looked.page.evaluate(SIDEWAYS) == 0
    assert looked.complaints == []


def test_what_is_ticked_is_kept_and_copied(service: str, look: Look) -> None:
    page = look(f"{service}/tunes/3/drum-score?part=1&voice=tenor&split=4", "laptop").page
    page.get_by_label("Bar 1, beat 1, struck").check()
    page.get_by_label("Bar 1, beat 2, struck").check()
    page.get_by_label("Bar 1, beat 2, unison").check()
    page.get_by_role("button", name="Keep this part").click()
    page.get_by_text("bar entered").wait_for()
    page.get_by_label("over bars from").select_option(label="Bar 3")
    page.get_by_role("button", name="Copy the bars").click()
    page.get_by_text("bars entered").wait_for()
    assert page.get_by_label("Bar 3, beat 1, struck").is_checked()
    assert page.get_by_label("Bar 3, beat 2, unison").is_checked()
    assert not page.get_by_label("Bar 2, beat 1, struck").is_checked()
