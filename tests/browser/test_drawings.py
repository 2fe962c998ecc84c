"""The drawings in a real browser, with the real letters: nothing on anything, nothing cut off."""

from __future__ import annotations

import pytest

from tests.browser.conftest import Look

pytestmark = pytest.mark.browser

PAGES = (
    "/style", "/events/1", "/events/2", "/events/3", "/sets/2", "/sets/3", "/events/3/tunes/9",
    "/events/2/tunes/1", "/events/1/order",
)  # fmt: skip

CLASHES = """() => [...document.querySelectorAll('.drawing svg.ink')]
  .filter(drawn => drawn.checkVisibility())
  .flatMap(drawn => {
    const room = drawn.getBoundingClientRect();
    const words = [...drawn.querySelectorAll('text')]
      .map(each => [each.textContent, each.getBoundingClientRect()]);
    const isCut = box => box.left < room.left - 1 || box.right > room.right + 1;
    const meet = (a, b) => a.left < b.right - 1 && b.left < a.right - 1
      && a.top + 3 < b.bottom - 3 && b.top + 3 < a.bottom - 3;
    const clashes = words.flatMap(([one, a], at) => words.slice(at + 1)
      .filter(([, b]) => meet(a, b)).map(([other]) => `${one} lies on ${other}`));
    const cut = words.filter(([, box]) => isCut(box)).map(([one]) => `${one} is cut off`);
    return [...cut, ...clashes];
  })"""


@pytest.mark.parametrize("size", ["phone", "laptop", pytest.param("small", marks=pytest.mark.slow)])
@pytest.mark.parametrize("address", PAGES)
def test_no_words_lie_on_others(service: str, look: Look, address: str, size: str) -> None:
    page = look(service + address, size).page
    assert page.locator(".drawing svg.ink:visible").count() >= 1
    assert page.evaluate(CLASHES) == []


def test_one_of_the_two_frames_is_seen(service: str, look: Look) -> None:
    for size, name in (("phone", "narrow"), ("laptop", "wide")):
        seen = look(f"{service}/events/1", size).page.locator("#timeline svg.ink:visible")
        assert seen.count() == 1
        assert f"ink-{name}" in (seen.get_attribute("class") or "")
