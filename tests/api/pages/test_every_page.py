"""Every page: it answers, empty and full, within few questions, and it works without a script."""

import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from functools import cache
from html.parser import HTMLParser
from typing import Any

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient
from sqlalchemy import event
from starlette.routing import Match, Route

from api.app import ROOMS, add_room
from tests.pages import ALWAYS, OF_THE_DEMO, page_routes

MOST_STATEMENTS = 12

VOID = {"input", "meta", "link", "br", "img", "hr"}


class Reader(HTMLParser):
    """Notes what a page is made of, and whether its elements close in order."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.ids: list[str] = []
        self.faults: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = dict(attrs)
        self.tags.append((tag, told))
        self.ids += [told["id"]] if told.get("id") else []
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.faults.append(f"</{tag}> at {self.getpos()}")


def read(page: str) -> Reader:
    reader = Reader()
    reader.feed(page)
    return reader


@contextmanager
def counted(client: TestClient) -> Iterator[list[str]]:
    engine: Any = client.app.state.database.engine  # type: ignore[attr-defined]
    asked: list[str] = []

    def note(_connection: Any, _cursor: Any, statement: str, *_rest: Any) -> None:
        if not statement.startswith(("BEGIN", "PRAGMA", "COMMIT", "ROLLBACK")):
            asked.append(statement)

    event.listen(engine, "before_cursor_execute", note)
    yield asked
    event.remove(engine, "before_cursor_execute", note)


@pytest.mark.parametrize("path", page_routes())
def test_every_page_has_an_address_to_try_it_at(path: str) -> None:
    shapes = [Route(each, lambda: None) for each in page_routes()]
    tried = [address.split("?")[0] for address in (*ALWAYS, *OF_THE_DEMO)]
    assert [each for each in tried if _path_of(_first_match(shapes, each)) == path]


def _path_of(route: Route | None) -> str | None:
    return None if route is None else route.path


def _first_match(routes: Iterable[Any], address: str) -> Any:
    """The first route that takes this address; in order, words come before numbers."""
    asked = {"type": "http", "method": "GET", "path": address, "headers": []}
    return next((route for route in routes if route.matches(asked)[0] is Match.FULL), None)


@pytest.mark.parametrize("address", ALWAYS)
def test_every_page_answers_in_an_empty_library(client: TestClient, address: str) -> None:
    page = client.get(address)
    assert page.status_code == 200
    assert "<h1>" in page.text


@pytest.mark.parametrize("address", [*ALWAYS, *OF_THE_DEMO])
def test_every_page_answers_for_the_demo_band(demo: TestClient, address: str) -> None:
    page = demo.get(address)
    assert page.status_code == 200
    reader = read(page.text)
    assert (reader.faults, reader.open) == ([], [])
    assert len(reader.ids) == len(set(reader.ids))


@pytest.mark.parametrize("address", [*ALWAYS, *OF_THE_DEMO])
def test_no_page_asks_the_database_too_often(demo: TestClient, address: str) -> None:
    demo.get("/about")  # the first question of all is whose library this is, and is asked once
    with counted(demo) as asked:
        demo.get(address)
    assert len(asked) <= MOST_STATEMENTS, "\n".join(asked)


@pytest.mark.parametrize("address", [*ALWAYS, *OF_THE_DEMO])
def test_no_page_has_style_or_script_of_its_own(demo: TestClient, address: str) -> None:
    for tag, told in read(demo.get(address).text).tags:
        assert tag != "style"
        assert "style" not in told
        assert not [name for name in told if name.startswith("on")]
        assert tag != "script" or told.get("src")


@pytest.mark.parametrize("address", [*ALWAYS, *OF_THE_DEMO])
def test_everything_that_a_script_helps_with_is_a_real_form_or_link(
    demo: TestClient, address: str
) -> None:
    for tag, told in read(demo.get(address).text).tags:
        if any(name.startswith("hx-") for name in told):
            assert tag in ("form", "a")
            assert told.get("action") or told.get("href")


@pytest.mark.parametrize("address", [*ALWAYS, *OF_THE_DEMO])
def test_every_field_has_a_name_that_can_be_heard(demo: TestClient, address: str) -> None:
    reader = read(demo.get(address).text)
    labelled = {told["for"] for tag, told in reader.tags if tag == "label" and told.get("for")}
    for tag, told in reader.tags:
        is_field = tag in ("input", "select", "textarea")
        if is_field and told.get("type") not in ("hidden", "checkbox", "radio"):
            assert told.get("aria-label") or told.get("id") in labelled, told


@pytest.mark.parametrize("address", [*ALWAYS, *OF_THE_DEMO])
def test_every_link_to_a_page_of_ours_leads_somewhere(demo: TestClient, address: str) -> None:
    found = {
        told["href"].split("#")[0].split("?")[0]
        for tag, told in read(demo.get(address).text).tags
        if tag == "a" and (told.get("href") or "").startswith("/")
    }
    whole: Any = demo.app
    routes = [*whole.routes, *_routes_of_every_room()]
    assert not [link for link in found if _first_match(routes, link) is None]


@cache
def _routes_of_every_room() -> tuple[Any, ...]:
    """The routes that the service itself puts in place only when one of them is asked for."""
    rooms = FastAPI()
    for address in ROOMS:
        add_room(rooms, address)
    return tuple(rooms.routes)


def test_a_page_that_is_not_there_says_so_in_one_sentence(client: TestClient) -> None:
    page = client.get("/nowhere")
    assert page.status_code == 404
    assert "There is nothing at /nowhere: check the address." in page.text


def test_an_event_that_is_gone_is_a_plain_page(demo: TestClient) -> None:
    page = demo.get("/events/99")
    assert page.status_code == 404
    assert "There is no event 99 in this library" in page.text


def test_style_sheets_may_be_kept_for_a_year_because_their_address_changes(
    client: TestClient,
) -> None:
    link = next(iter(re.findall(r'href="(/static/[^"]+screen\.css)"', client.get("/").text)))
    answer = client.get(link)
    assert answer.status_code == 200
    assert "immutable" in answer.headers["cache-control"]


def test_a_static_file_without_its_stamp_is_asked_for_again(client: TestClient) -> None:
    assert client.get("/static/css/screen.css").headers["cache-control"] == "no-cache"


def test_no_static_address_leads_out_of_its_folder(client: TestClient) -> None:
    assert client.get("/static/../base.html").status_code == 404
    assert client.get("/static/%2e%2e/base.html").status_code == 404
