"""Long work in a browser: its progress is seen, it can be left, and it is there on coming back."""

from __future__ import annotations

import pytest

from tests.browser.conftest import Look

pytestmark = pytest.mark.browser

A_PACK_MS = 120_000


SMALLEST = "/events/4/pack"  # of the demo band's


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_a_pack_is_watched_left_and_found_ready(service: str, look: Look, scripts: bool) -> None:
    page = look(service + SMALLEST, "phone", scripts=scripts).page
    page.get_by_role("button", name="print every sheet").click()
    page.locator("progress").wait_for()
    page.goto(f"{service}/events")
    page.goto(service + SMALLEST)
    page.get_by_role("link", name="All of it zip").wait_for(timeout=A_PACK_MS)
    assert page.locator("progress").count() == 0
