"""A set is put in order by buttons, by the keyboard and by dragging, and kept as one goes."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page

from tests.browser.conftest import Look

pytestmark = pytest.mark.browser

TITLES = [f"Build {letter}" for letter in "ABCD"]
SAVED = "() => document.getElementById('state').textContent.startsWith('Saved')"


def a_set(page: Page, service: str) -> None:
    """A new set of four outlined tunes, made through the service's own JSON."""
    keys = []
    for title in TITLES:
        outline = {"metre": "2/4", "parts": [[8, 2], [8, 2]]}
        form = {"title": title, "idiom": "march", "tempo_bpm": 80, "outline": outline}
        made = page.request.post(f"{service}/api/tunes", data=form)
        assert made.status == 201, made.text()
        keys.append(made.json()["key"])
    form = {"number": 90, "name": "Built", "entries": [{"tune_key": key} for key in keys]}
    made = page.request.post(f"{service}/api/sets", data=form)
    page.goto(f"{service}/sets/{made.json()['key']}")


def order(page: Page) -> str:
    """The last letters of the tunes as they stand."""
    titles = page.locator("[data-row] h3 a").all_inner_texts()
    return "".join(title[-1] for title in titles)


def until(page: Page, wanted: str) -> None:
    page.wait_for_function(
        "wanted => [...document.querySelectorAll('[data-row] h3 a')]"
        ".map(each => each.textContent.slice(-1)).join('') === wanted"
        " && document.getElementById('state').textContent.startsWith('Saved')",
        arg=wanted,
    )


@pytest.mark.parametrize("size", ["phone", "laptop"])
def test_buttons_keyboard_and_dragging_all_change_the_order(
    service: str, look: Look, size: str
) -> None:
    looked = look(f"{service}/sets", size)
    page = looked.page
    a_set(page, service)
    page.get_by_role("button", name="Down Build A").click()
    until(page, "BACD")
    page.get_by_role("button", name="Move Build D").focus()
    page.keyboard.press("ArrowUp")
    until(page, "BADC")
    page.keyboard.press("Home")
    until(page, "DBAC")
    assert page.evaluate("document.activeElement.innerText") == "Move Build D"
    drag(page, "Build D", "Build C")
    until(page, "BACD")
    page.get_by_role("button", name="Take out Build A").click()
    until(page, "BCD")
    page.reload()
    assert order(page) == "BCD"
    assert looked.complaints == []


def drag(page: Page, title: str, onto: str) -> None:
    """Drag a row by its handle to just below another row's middle."""
    page.get_by_role("button", name=f"Move {title}").scroll_into_view_if_needed()
    start = page.get_by_role("button", name=f"Move {title}").bounding_box()
    assert start
    page.mouse.move(start["x"] + 10, start["y"] + 10)
    page.mouse.down()
    target = page.locator("[data-row]", has_text=onto).last
    for _ in range(200):
        box = target.bounding_box()
        assert box
        y = box["y"] + box["height"] * 0.75
        page.mouse.move(start["x"] + 12, min(y, page.viewport_size["height"] - 20))  # type: ignore[index]
        if y < page.viewport_size["height"] - 20:  # type: ignore[index]
            break
        page.wait_for_timeout(16)
    page.mouse.up()


def test_quick_presses_are_all_done_in_order(service: str, look: Look) -> None:
    page = look(f"{service}/sets", "laptop").page
    a_set(page, service)
    page.evaluate(
        "for (const name of ['up-3', 'up-2', 'remove-0']) document.getElementById(name).click()"
    )
    # D goes up past C; then C, which was pressed where it stood before, goes up past D again.
    until(page, "BCD")


def test_what_is_typed_is_kept_by_itself_and_times_follow(service: str, look: Look) -> None:
    page = look(f"{service}/sets", "laptop").page
    a_set(page, service)
    before = page.locator("#length").inner_text()
    tempo = page.locator("[id='entries.0.tempo_bpm']")
    tempo.fill("40")
    page.wait_for_function(
        "was => document.getElementById('length').textContent !== was", arg=before
    )
    assert page.locator("#state").inner_text().startswith("Saved.")
    assert page.evaluate("document.activeElement.id") == "entries.0.tempo_bpm"
    page.reload()
    assert tempo.input_value() == "40"
    page.get_by_role("button", name="Undo what was typed for “Build A”").click()
    page.wait_for_function(
        "was => document.getElementById('length').textContent === was", arg=before
    )
    assert tempo.input_value() == ""


def test_what_cannot_be_kept_is_said_beside_its_field_and_stays(service: str, look: Look) -> None:
    page = look(f"{service}/sets", "laptop").page
    a_set(page, service)
    tempo = page.locator("[id='entries.1.tempo_bpm']")
    tempo.fill("9")
    page.get_by_text("This must be 20 or more").first.wait_for()
    assert page.locator("#state").inner_text().startswith("Not saved.")
    assert tempo.input_value() == "9"
    tempo.fill("90")
    page.wait_for_function(SAVED)
    assert page.locator(".fault").count() == 0


def test_a_service_that_does_not_answer_loses_nothing(service: str, look: Look) -> None:
    page = look(f"{service}/sets", "laptop").page
    a_set(page, service)
    page.route(
        "**/sets/*",
        lambda route: route.abort() if route.request.method == "POST" else route.continue_(),
    )
    page.locator("[id='entries.0.tempo_bpm']").fill("70")
    page.get_by_text("the service does not answer").wait_for()
    page.get_by_role("button", name="Down Build A").click()
    page.get_by_text("the service does not answer").wait_for()
    page.unroute("**/sets/*")
    page.wait_for_function(SAVED, timeout=9000)
    page.reload()
    assert order(page) == "BACD"
    assert page.locator("[id='entries.1.tempo_bpm']").input_value() == "70"


def test_a_tune_is_found_and_added_without_a_mouse(service: str, look: Look) -> None:
    page = look(f"{service}/sets", "laptop").page
    a_set(page, service)
    page.get_by_label("Title or composer").focus()
    page.keyboard.type("rain")
    page.get_by_role("button", name="Add Skelder Row in the Rain").wait_for()
    page.wait_for_function("() => document.querySelectorAll('#found li').length === 1")
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    until(page, "ABCDn")
    assert page.get_by_label("Title or composer").input_value() == "rain"


def test_somebody_elses_change_stops_the_keeping_until_one_decides(
    service: str, look: Look
) -> None:
    page = look(f"{service}/sets", "laptop").page
    a_set(page, service)
    address = page.url.replace("/sets/", "/api/sets/")
    told = page.request.get(address).json()
    theirs = {"number": 91, "name": "Theirs", "entries": told["entries"]}
    assert page.request.put(address, data=theirs, headers={"If-Match": "*"}).ok
    page.get_by_label("Short name").fill("Mine")
    page.get_by_role("heading", name="Somebody changed this meanwhile").wait_for()
    page.get_by_label("Short name").fill("Mine still")
    page.wait_for_timeout(900)
    assert page.request.get(address).json()["name"] == "Theirs"
    page.get_by_role("button", name="Save the set").click()
    page.wait_for_function(SAVED)
    assert page.request.get(address).json()["name"] == "Mine still"


@pytest.mark.parametrize("size", ["phone", "laptop"])
def test_the_times_of_a_running_order_move_with_its_items(
    service: str, look: Look, size: str
) -> None:
    looked = look(f"{service}/events", size)
    page = looked.page
    items = [{"text": f"Item {place}", "seconds": 60} for place in range(1, 41)]
    form = {
        "name": "Forty items", "setting": {"occasion": "exhibition"}, "items": items,
        "clock": {"step_off": "14:00", "end": "15:00"},
    }  # fmt: skip
    made = page.request.post(f"{service}/api/events", data=form)
    page.goto(f"{service}/events/{made.json()['key']}/order")
    assert page.locator("#facts-39").inner_text().startswith("14:39")
    page.get_by_role("button", name="Move Item 40").focus()
    page.wait_for_function(
        "() => document.getElementById('move-39').getBoundingClientRect().top < innerHeight"
    )
    page.keyboard.press("Home")
    page.wait_for_function("() => document.querySelector('#row-0 h3').textContent === 'Item 40'")
    assert page.evaluate("document.activeElement.id") == "move-0"
    assert page.locator("#row-0").evaluate("row => row.getBoundingClientRect().top") >= 0
    page.get_by_label("Rest after, s").first.fill("600")
    page.wait_for_function(
        "() => document.getElementById('facts-1').textContent.startsWith('14:11')"
    )
    page.locator("#head").get_by_text("10 min to spare").wait_for()
    told = page.locator("#the-day .told li", has_text="10 min to spare.")
    assert told.count() == 1, "the drawing moves with the times"
    page.get_by_label("Such as drums only, or a speech").fill("The speech")
    page.keyboard.press("Enter")
    page.wait_for_function("() => document.querySelectorAll('[data-row]').length === 41")
    page.get_by_role("button", name="Undo adding “The speech”").click()
    page.wait_for_function("() => document.querySelectorAll('[data-row]').length === 40")
    assert looked.complaints == []


def test_enter_saves_without_a_script_and_never_undoes(service: str, look: Look) -> None:
    page = look(f"{service}/sets", "laptop", scripts=False).page
    a_set(page, service)
    page.get_by_role("button", name="Down Build A").click()
    page.get_by_label("Short name").fill("By enter")
    page.get_by_label("Short name").press("Enter")
    page.get_by_role("heading", name="By enter").wait_for()
    assert order(page) == "BACD"


def test_a_running_order_is_put_together_without_a_script(service: str, look: Look) -> None:
    page = look(f"{service}/events/new", "phone", scripts=False).page
    page.get_by_label("Name", exact=True).fill("By plain buttons")
    page.get_by_label("Step-off").fill("14:00")
    page.get_by_role("button", name="Plan this event").click()
    page.get_by_role("link", name="Choose the sets").first.click()
    for words, name in (("ferry", "1 Ferry Lamps"), ("bakers", "2 Bakers")):
        page.get_by_label("Number, name, or a tune in it").fill(words)
        page.get_by_role("button", name="Look", exact=True).click()
        page.get_by_role("button", name=f"Add {name}").click()
    assert page.locator("[data-row] h3").all_inner_texts() == ["1 Ferry Lamps", "2 Bakers"]
    page.get_by_label("Such as drums only, or a speech").fill("The speech")
    page.get_by_role("button", name="Add the words").click()
    page.get_by_label("Length, s").fill("soon")
    page.get_by_role("button", name="Up The speech").click()
    page.get_by_text("is not a number").first.wait_for()
    assert page.get_by_label("Length, s").input_value() == "soon"
    page.get_by_label("Length, s").fill("60")
    page.get_by_role("button", name="Save the running order").click()
    said = page.locator("[data-row] h3").all_inner_texts()
    assert said == ["1 Ferry Lamps", "The speech", "2 Bakers"]
    assert page.locator("#facts-2").inner_text().startswith("14:04")
    page.get_by_role("button", name="Undo").click()
    assert page.locator("[data-row] h3").all_inner_texts()[1] == "2 Bakers"
    assert page.locator(".handle:visible").count() == 0
