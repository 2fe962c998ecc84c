"""How soon does a person in a car park see a page, and does it jump? By Chromium's own measure.

Each page of the demo band is opened in a fresh window of a phone's size, with the processor slowed
four times as Chromium does it, and nothing kept from before. First contentful paint and layout
shift are read from the browser's own entries (W3C Paint Timing; WICG Layout Instability, summed
over the whole load, which is never less than its session windows).
"""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass
from statistics import median

from playwright.sync_api import Browser, sync_playwright

PAGES = (
    "/", "/events/1", "/events/2", "/events/3", "/events/3/drums", "/events/3/tunes/9",
    "/events/1/edit", "/players/3/events/3", "/tunes", "/sets/4",
)  # fmt: skip
SLOWED, RUNS = 4, 5
PHONE = {"width": 390, "height": 844}
PAINT_S, SHIFT = 1.0, 0.05
SETTLED_MS = 500

WATCH = """() => {
  window.shifted = 0;
  new PerformanceObserver((list) => {
    for (const each of list.getEntries()) if (!each.hadRecentInput) window.shifted += each.value;
  }).observe({type: "layout-shift", buffered: true});
}"""
PAINTED = "performance.getEntriesByName('first-contentful-paint')[0].startTime / 1000"
ANSWERED = "performance.getEntriesByType('navigation')[0].responseStart / 1000"


def pages(
    running_service: Callable[..., AbstractContextManager[str]], wait_for: Callable[[str], None]
) -> dict[str, Callable[[], object]]:
    """Print paint and shift of each page; nothing is left to be timed from outside."""
    chromium = os.environ.get("PACESTICK_CHROMIUM") or shutil.which("chromium")
    with tempfile.TemporaryDirectory() as folder, running_service(folder, "--demo") as address:
        wait_for(f"{address}/events/1")
        with sync_playwright() as playwright:
            arguments = ["--no-sandbox", "--disable-background-networking"]
            browser = playwright.chromium.launch(executable_path=chromium, args=arguments)
            for page in PAGES:
                wait_for(address + page)  # the first visitor of all has paid for what is kept
                seen = [opened(browser, address + page) for _ in range(RUNS)]
                print(f"  {page}: {told(seen)}")
            browser.close()
    return {}


@dataclass(frozen=True)
class Visit:
    """First contentful paint, and the server's first byte before it, in seconds; layout shift."""

    painted_s: float
    answered_s: float
    shifted: float


def opened(browser: Browser, address: str) -> Visit:
    """One visit to one page."""
    window = browser.new_context(viewport=PHONE)  # type: ignore[arg-type]
    page = window.new_page()
    window.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
    page.add_init_script(f"({WATCH})()")
    page.goto(address, wait_until="load")
    page.wait_for_timeout(SETTLED_MS)
    seen = [page.evaluate(each) for each in (PAINTED, ANSWERED, "window.shifted")]
    window.close()
    return Visit(*map(float, seen))


def told(visits: list[Visit]) -> str:
    """The measures of one page, with a word where an aim is missed."""
    paints, shifted = [each.painted_s for each in visits], max(each.shifted for each in visits)
    late = "" if median(paints) < PAINT_S else f", LATE: {PAINT_S:g} s is the aim"
    jumps = "" if shifted <= SHIFT else f", JUMPS: {SHIFT:g} is the aim"
    spread = f"({min(paints):.2f} to {max(paints):.2f}, {len(paints)} visits)"
    server = f"the server's part {median(each.answered_s for each in visits):.2f} s"
    return (
        f"first paint {median(paints):.2f} s {spread}, {server}{late}; shift {shifted:.3f}{jumps}"
    )
