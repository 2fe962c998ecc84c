"""What a pipe-major, a drum sergeant and a player do at a screen, step by step.

Each has a window of their own. A picture is kept of every step in ``test-output/pictures``, so that
a person can look at the journey after a run.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Page, expect

from tests.api.printing.paper import words

PICTURES = Path(__file__).resolve().parents[2] / "test-output" / "pictures"


@dataclass
class Somebody:
    """One person at one window; ``way`` says how: the size, and whether scripts run."""

    page: Page
    service: str
    way: str

    def go(self, path: str) -> None:
        """Open a page of the service."""
        answer = self.page.goto(self.service + path)
        assert answer is not None
        assert answer.status == 200, path

    def keep(self, name: str) -> None:
        """Keep a picture of what is seen now."""
        PICTURES.mkdir(parents=True, exist_ok=True)
        file = PICTURES / f"{name} ({self.way}).png"
        self.page.screenshot(path=file, full_page=True, animations="disabled")

    def press(self, name: str) -> None:
        """Press a button."""
        self.page.get_by_role("button", name=name, exact=True).click()

    def follow(self, name: str) -> None:
        """Follow a link."""
        self.page.get_by_role("link", name=name).first.click()

    def fill(self, **fields: str) -> None:
        """Type into fields by their names; two underscores stand for a full stop."""
        for name, value in fields.items():
            seen = f"[name='{name.replace('__', '.')}']:not([type=hidden])"
            self.page.locator(seen).fill(value)

    def choose(self, label: str, option: str) -> None:
        """Choose from a list by what is read there."""
        self.page.get_by_label(label, exact=True).select_option(label=option)

    def reads(self, *sentences: str) -> None:
        """All of these stand on the page."""
        for sentence in sentences:
            expect(self.page.locator("main")).to_contain_text(sentence, use_inner_text=True)

    def saves(self, button: str) -> None:
        """Press a button that keeps what was typed, and wait until it is kept."""
        self.press(button)
        expect(self.page.locator(".said")).to_be_visible()

    def number(self) -> int:
        """The number in the address of this page."""
        found = re.search(r"/(\d+)(?:[/?#]|$)", self.page.url)
        assert found, self.page.url
        return int(found[1])

    def sheet(self, path: str) -> str:
        """The words of a sheet, as it is printed now."""
        answer = self.page.request.get(self.service + path)
        assert answer.ok, path
        return words(answer.body())


def plans_an_event(who: Somebody, name: str, asked: str, *sets: str, **fields: str) -> int:
    """Make an event of sets that are there, by the form; its number."""
    who.go("/events/new")
    who.fill(name=name)
    who.choose("What is asked", asked)
    for each in sets:
        who.choose("Add a set", each)
        who.press("Add it")
    who.fill(**fields)
    who.saves("Plan this event")
    expect(who.page.get_by_role("heading", level=1)).to_have_text(name)
    return who.number()


def builds_a_set(who: Somebody, number: int, name: str, *tunes: str, **choices: str) -> str:
    """Build a set of tunes of the library, by the form; how it is called in lists."""
    who.go("/sets/new")
    who.fill(number=str(number), name=name)
    closed = who.page.locator("details:not([open]) > summary")
    while closed.count():
        closed.first.click()
    for label, option in choices.items():
        who.choose(label.replace("_", " "), option)
    who.saves("Make the set")
    for title in tunes:
        who.fill(words=title)
        who.page.locator("[name=words]").press("Enter")
        who.press(f"Add {title}")
        expect(who.page.get_by_role("group", name=title)).to_be_visible()
    who.saves("Save the set")
    return f"{number} {name}"
