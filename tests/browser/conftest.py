"""A real service with the demo band in it, and a real browser to look at it."""

from __future__ import annotations

import os
import shutil
import socket
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest
import uvicorn
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from api.actions.demo import load_demo
from api.app import create_app
from api.settings import Settings, seed_data_dir
from api.sharing import reading_key
from api.storage.library import open_library

CHROMIUM = os.environ.get("PACESTICK_CHROMIUM") or shutil.which("chromium") or "/usr/bin/chromium"
SIZES = {"phone": (390, 844), "laptop": (1280, 800), "small": (360, 640)}
ELSEWHERE = "band.test"
"""A name under which the browser reaches the service as from elsewhere (RFC 6761: never real)."""
STARTING_S = 20.0


class Looked:
    """A page that was opened, and what the browser complained about meanwhile."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.complaints: list[str] = []
        page.on("console", self._hear)
        page.on("pageerror", lambda error: self.complaints.append(str(error)))

    def _hear(self, message: object) -> None:
        if getattr(message, "type", "") in ("error", "warning"):
            self.complaints.append(getattr(message, "text", ""))


Look = Callable[..., Looked]


@pytest.fixture(scope="session")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a running service with the demo band."""
    yield from _served(tmp_path_factory.mktemp("demo"), with_demo=True)


@pytest.fixture(scope="session")
def empty_service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a running service with an empty library."""
    yield from _served(tmp_path_factory.mktemp("empty"), with_demo=False)


@pytest.fixture(scope="session")
def reading_link(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The link by which the players' pages of a running service are read from elsewhere."""
    folder = tmp_path_factory.mktemp("shared")
    for address in _served(folder, with_demo=True, share=True, public_name=ELSEWHERE):
        port = urlsplit(address).port
        yield f"http://{ELSEWHERE}:{port}/reading/{reading_key(folder)}/players"


def _served(
    folder: Path, *, with_demo: bool, share: bool = False, public_name: str = ""
) -> Iterator[str]:
    port = _free_port()
    settings = Settings(
        data_dir=folder,
        database_url="",
        port=port,
        band_name="Testing band",
        share=share,
        public_address=f"http://{public_name}:{port}" if public_name else "",
    )
    database = open_library(settings.address_of_database, settings.band_name)
    if with_demo:
        with database.writing() as session:
            load_demo(session, database.home_band(), seed_data_dir())
    database.close()
    config = uvicorn.Config(create_app(settings), host="127.0.0.1", port=port, log_level="warning")
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    _wait_for(lambda: server.started)
    yield f"http://127.0.0.1:{port}"
    server.should_exit = True
    thread.join(STARTING_S)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The system's Chromium, without a window and without errands of its own."""
    quiet = ["--no-sandbox", "--disable-background-networking"]
    quiet.append(f"--host-resolver-rules=MAP {ELSEWHERE} 127.0.0.1")
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=CHROMIUM, args=quiet)
        yield opened
        opened.close()


@pytest.fixture(scope="session")
def windows(browser: Browser) -> Iterator[dict[tuple[str, str, bool], BrowserContext]]:
    """Windows by size, theme and scripts, kept open: style sheets and fonts are fetched once."""
    opened: dict[tuple[str, str, bool], BrowserContext] = {}
    yield opened
    for window in opened.values():
        window.close()


@pytest.fixture
def look(browser: Browser, windows: dict[tuple[str, str, bool], BrowserContext]) -> Iterator[Look]:
    """Open an address at a size, in light or dark, with or without scripts.

    ``script`` is one of the test's own, which the page runs before everything else.
    """
    pages: list[Page] = []

    def _look(
        address: str,
        size: str = "laptop",
        *,
        theme: str = "light",
        scripts: bool = True,
        script: str = "",
    ) -> Looked:
        key = (size, theme, scripts)
        if key not in windows:
            windows[key] = _window(browser, size, theme, scripts)
        looked = Looked(windows[key].new_page())
        pages.append(looked.page)
        if script:
            looked.page.add_init_script(script)
        answer = looked.page.goto(address)
        assert answer is not None
        assert answer.status == 200, address
        looked.page.wait_for_load_state("load")
        return looked

    yield _look
    for page in pages:
        page.close()


def _window(browser: Browser, size: str, theme: str, scripts: bool) -> BrowserContext:
    width, height = SIZES[size]
    return browser.new_context(
        viewport={"width": width, "height": height},
        color_scheme="dark" if theme == "dark" else "light",
        java_script_enabled=scripts,
    )


def _free_port() -> int:
    with socket.socket() as asked:
        asked.bind(("127.0.0.1", 0))
        return int(asked.getsockname()[1])


def _wait_for(is_so: Callable[[], bool]) -> None:
    until = time.monotonic() + STARTING_S
    while not is_so():
        assert time.monotonic() < until, "the service did not start"
        time.sleep(0.02)
