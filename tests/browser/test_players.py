"""The player's telephone: who I am, my card, and both again without a network."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.conftest import SIZES

pytestmark = pytest.mark.browser

KEPT = "Kept on this device: it can be read without a network."
ALONE = "No network: this is the copy kept on this device, and a newer one may be about."

KEPT_PATHS = """async () => {
  const shelves = await Promise.all((await caches.keys()).map((name) => caches.open(name)));
  const kept = await Promise.all(shelves.map((shelf) => shelf.keys()));
  return kept.flat().map((request) => new URL(request.url).pathname);
}"""


@pytest.fixture
def telephone(browser: Browser) -> Iterator[Page]:
    """A telephone that has never been here."""
    width, height = SIZES["phone"]
    window = browser.new_context(viewport={"width": width, "height": height})
    yield window.new_page()
    window.close()


def wait_until_said(page: Page, words: str) -> None:
    page.locator("#keeping", has_text=words).wait_for()


def wait_until_kept(page: Page, path: str) -> None:
    for _ in range(600):
        if path in page.evaluate(KEPT_PATHS):
            return
        page.wait_for_timeout(100)
    raise AssertionError(f"{path} was not kept")


def test_a_card_that_was_opened_can_be_read_without_a_network(
    service: str, telephone: Page
) -> None:
    telephone.goto(f"{service}/players")
    telephone.get_by_role("link", name="Ishbel Tarrowan").click()
    telephone.get_by_role("link", name="My card for Lamp Day street parade").click()
    wait_until_said(telephone, KEPT)
    card = telephone.locator("main").inner_text().replace(KEPT, "")
    drawn = telephone.evaluate("getComputedStyle(document.querySelector('h1')).fontFamily")

    telephone.context.set_offline(True)
    telephone.reload()
    wait_until_said(telephone, ALONE)
    assert telephone.locator("main").inner_text().replace(ALONE, "") == card
    same = "getComputedStyle(document.querySelector('h1')).fontFamily"
    assert telephone.evaluate(same) == drawn
    assert telephone.evaluate("document.fonts.check('1rem \"Pacestick Sans\"')")


def test_a_service_that_does_not_answer_is_told_although_the_device_is_connected(
    service: str, telephone: Page
) -> None:
    telephone.goto(f"{service}/players/3/events/1")
    wait_until_said(telephone, KEPT)
    telephone.add_init_script("Object.defineProperty(navigator, 'onLine', {get: () => true})")
    telephone.context.set_offline(True)
    telephone.reload()
    wait_until_said(telephone, ALONE)


def test_the_music_of_a_card_is_kept_with_it(service: str, telephone: Page) -> None:
    telephone.goto(f"{service}/players/3/events/3")
    wait_until_said(telephone, KEPT)
    music = telephone.locator("article a[data-keep]").first
    address = music.get_attribute("href") or ""
    wait_until_kept(telephone, address)
    telephone.context.set_offline(True)
    music.click()
    telephone.wait_for_url(f"**{address}")
    assert telephone.locator(".music-page svg:visible").count() > 0


def test_what_was_never_opened_leads_to_what_is_kept(service: str, telephone: Page) -> None:
    telephone.goto(f"{service}/players/3/events/1")
    wait_until_said(telephone, KEPT)
    telephone.context.set_offline(True)
    telephone.goto(f"{service}/players/4/events/2")
    assert telephone.get_by_role("heading", level=1).inner_text() == "No network"
    telephone.get_by_role("link", name="Ishbel Tarrowan, Lamp Day street parade").click()
    wait_until_said(telephone, ALONE)
    assert "You play" in telephone.locator("main").inner_text()


def test_no_page_but_the_players_own_is_kept(service: str, telephone: Page) -> None:
    telephone.goto(f"{service}/players/3/events/1")
    wait_until_said(telephone, KEPT)
    telephone.goto(f"{service}/events/1")
    assert telephone.evaluate("navigator.serviceWorker.controller") is None
    kept = telephone.evaluate(KEPT_PATHS)
    assert kept
    assert not [path for path in kept if not path.startswith(("/players", "/static/"))]


def test_this_device_remembers_who_i_am(service: str, telephone: Page) -> None:
    telephone.goto(f"{service}/players/events/1")
    telephone.get_by_role("link", name="Tam Owersike").click()
    telephone.wait_for_url("**/players/*/events/1")
    telephone.goto(f"{service}/players")
    assert telephone.get_by_role("heading", level=1).inner_text() == "Tam Owersike"
    telephone.get_by_role("link", name="That is not me").click()
    assert telephone.get_by_role("heading", level=1).inner_text() == "Who are you?"


def test_without_https_the_page_says_so_and_offers_the_pdf(
    reading_link: str, telephone: Page
) -> None:
    telephone.goto(f"{reading_link}/3/events/1")
    wait_until_said(telephone, "This address is not secure (HTTPS)")
    link = telephone.get_by_role("link", name="My cards PDF")
    kind = link.evaluate("async link => (await fetch(link.href)).headers.get('content-type')")
    assert kind == "application/pdf"


def test_by_the_link_there_is_no_way_to_the_other_pages(reading_link: str, telephone: Page) -> None:
    telephone.goto(reading_link)
    assert telephone.locator("nav.rooms").count() == 0
    telephone.goto(reading_link.split("/reading/")[0] + "/events")
    assert telephone.get_by_role("heading", level=1).inner_text() == "Not to be read from elsewhere"
