"""The page of style shows everything that a style sheet of the screen knows, so nothing hides."""

import re

from fastapi.testclient import TestClient

from api.templating import static_folder

SHEETS = ("screen", "screen-forms", "screen-plan", "drawings")
ELSEWHERE = {
    "htmx-request": "only while an answer is on its way",
    "builder": "lays the running order and its picker side by side on a wide screen",
    "picker": "lays the running order and its picker side by side on a wide screen",
    "bar-here": "room around a drawing on one page",
    "contests": "room around a form on one page",
    "example": "a file that is shown as it is written, on one page",
    "fits": "room between lists on one page",
    "prose": "a narrower column of text",
    "scan": "a picture that a band has sent",
}
"""Looks that the page of style leaves out, and what they are."""


def looks_known() -> set[str]:
    """Every class that a style sheet of the screen names."""
    text = "".join((static_folder() / "css" / f"{name}.css").read_text() for name in SHEETS)
    plain = re.sub(r"/\*.*?\*/", "", text, flags=re.DOTALL)
    selectors = re.findall(r"([^{}]+)\{", plain)
    return {name for each in selectors for name in re.findall(r"\.([a-z][a-z0-9-]*)", each)}


def test_every_look_is_on_the_page_of_style(client: TestClient) -> None:
    page = client.get("/style").text
    shown = {name for each in re.findall(r'class="([^"]*)"', page) for name in each.split()}
    assert len(looks_known()) > 100
    assert looks_known() - shown - set(ELSEWHERE) == set()


def test_nothing_is_excused_that_is_shown_or_gone(client: TestClient) -> None:
    page = client.get("/style").text
    shown = {name for each in re.findall(r'class="([^"]*)"', page) for name in each.split()}
    assert set(ELSEWHERE) & shown == set()
    assert set(ELSEWHERE) <= looks_known()
