"""Names as long as they may be, with and without blanks, never widen a page."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page

from tests.browser.conftest import Look
from tests.browser.test_looks import TOO_WIDE, grave_barriers

pytestmark = pytest.mark.browser

LONGEST = 120
"""Letters a name may have; one more is refused."""
WORDS = "The most honourable company of millers, bakers and brewers and their apprentices " * 2
ONE_WORD = "Millersbakersbrewersandtheirapprentices" * 4
TUNE = "X:1\nT:Named here\nR:march\nM:2/4\nL:1/8\nK:HP\n|: {g}A2 {d}A2 | {g}B2 {g}A2 :|\n"


def made(page: Page, address: str, form: dict[str, Any]) -> str:
    answer = page.request.post(address, data=form)
    assert answer.status == 201, answer.text()
    return str(answer.json()["key"])


def named(page: Page, service: str) -> list[str]:
    """A tune, a set, a person and an event with the longest names; the pages that show them."""
    words, one = WORDS[: LONGEST - 1] + "x", ONE_WORD[:LONGEST]
    file = {"name": "tune.abc", "mimeType": "text/plain", "buffer": TUNE.encode()}
    sent = page.request.post(f"{service}/api/tunes/files", multipart={"file": file}).json()
    tune = sent[0]["key"]
    page.request.put(f"{service}/api/tunes/{tune}", data={"title": one}, headers={"If-Match": "*"})
    lines = {"tune_key": tune, "start_line": words, "join": one}
    a_set = made(page, f"{service}/api/sets", {"number": 998, "name": one, "entries": [lines] * 2})
    person = made(
        page, f"{service}/api/people", {"name": one, "instrument": "pipes", "role": words}
    )
    event = made(
        page,
        f"{service}/api/events",
        {
            "name": one,
            "setting": {"occasion": "parade", "sort": "massed"},
            "items": [{"set_key": a_set}, {"text": one * 2, "seconds": 60}, {"set_key": a_set}],
            "arrangements": {"place": one, "stop_signal": words},
        },
    )
    plays = {"answers": [{"person_key": person, "answer": "yes"}], "outs": [[person, tune]]}
    page.request.put(f"{service}/api/events/{event}/line-up", data=plays, headers={"If-Match": "*"})
    below = ("", "/order", "/edit", "/fill", "/line-up", "/people", "/drums", "/day", "/pack")
    return [
        "/", "/events", "/sets", f"/tunes?words={one[:20]}", "/people", f"/sets/{a_set}",
        f"/tunes/{tune}", f"/people/{person}", f"/players/{person}/events/{event}",
        f"/events/{event}/tunes/{tune}", *(f"/events/{event}{path}" for path in below),
    ]  # fmt: skip


def test_the_longest_names_fit_on_a_phone_and_on_a_laptop(service: str, look: Look) -> None:
    page = look(f"{service}/about", "phone").page
    addresses = named(page, service)
    too_wide = {}
    for width in (360, 1280):
        page.set_viewport_size({"width": width, "height": 800})
        for address in addresses:
            answer = page.goto(service + address)
            assert answer is not None
            assert answer.ok, address
            over = page.evaluate(TOO_WIDE)
            if over > 0:
                too_wide[f"{address} at {width}"] = over
    assert too_wide == {}
    assert grave_barriers(page) == []
