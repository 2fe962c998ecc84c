"""Three people find their way: with scripts, without them, on a phone and on a laptop."""

from __future__ import annotations

import pytest

from tests.browser.conftest import Look

pytestmark = pytest.mark.browser

TUNE = "X:1\nT:Quay Wall\nR:march\nM:2/4\nL:1/8\nK:HP\n|: {g}A2 {d}A2 | {g}B2 {g}A2 :|\n"


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_a_pipe_major_gets_from_an_empty_library_to_a_planned_parade(
    empty_service: str, look: Look, scripts: bool
) -> None:
    page = look(f"{empty_service}/tunes/new", "laptop", scripts=scripts).page
    page.get_by_label("or its text in ABC").fill(TUNE)
    page.get_by_role("button", name="Read it").click()
    page.get_by_role("button", name="Keep this tune").click()
    page.goto(f"{empty_service}/sets/new")
    page.get_by_label("Short name").fill("Quay")
    page.get_by_role("button", name="Add Quay Wall").first.click()
    page.get_by_role("button", name="Save the set").wait_for()
    page.goto(f"{empty_service}/events/new")
    page.get_by_label("Name", exact=True).fill("Quay day")
    page.get_by_label("What is asked").select_option("parade:own-band")
    page.get_by_label("Add a set").select_option(index=1)
    page.get_by_role("button", name="Add it").click()
    page.get_by_role("button", name="Plan this event").click()
    assert page.get_by_role("heading", name="Quay Wall").count() == 1
    assert "Strict tempo throughout." in page.content()


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_a_drum_sergeant_sees_only_what_is_not_strict(
    service: str, look: Look, scripts: bool
) -> None:
    page = look(f"{service}/events/3/drums", "phone", scripts=scripts).page
    everything = page.locator(".bar").count()
    page.get_by_label("Only what is not strict").check()
    if not scripts:
        page.get_by_role("button", name="Show").click()
    page.wait_for_url("**only=open*")
    page.wait_for_function("n => document.querySelectorAll('.bar').length < n", arg=everything)
    assert page.locator(".bar.strict").count() == 0
    assert page.locator(".bar.follow").count() > 0


def test_a_player_reads_their_card_on_a_phone(service: str, look: Look) -> None:
    page = look(f"{service}/events/1/line-up", "phone").page
    page.get_by_role("link", name="Card of Ishbel Tarrowan").click()
    page.wait_for_url("**/players/*/events/1")
    assert page.get_by_role("link", name="Ishbel Tarrowan").count() == 1
    assert "You play harmony" in page.content()


def test_the_library_answers_while_one_is_typing(service: str, look: Look) -> None:
    page = look(f"{service}/tunes", "laptop").page
    page.get_by_label("Title or composer").fill("rain")
    page.wait_for_url("**words=rain*")
    page.wait_for_function("document.querySelectorAll('#shelf .name').length === 1")
    assert page.get_by_role("link", name="Skelder Row in the Rain").count() == 1


def test_two_who_change_the_same_event_lose_nothing(service: str, look: Look) -> None:
    one = look(f"{service}/events/4/edit", "laptop").page
    other = look(f"{service}/events/4/edit", "laptop").page
    one.get_by_label("Dress").fill("Shirt sleeves, no ties")
    one.get_by_role("button", name="Save the event").click()
    other.get_by_label("Dress").fill("Waistcoats")
    other.get_by_role("button", name="Save the event").click()
    assert other.get_by_role("heading", name="Somebody changed this meanwhile").count() == 1
    assert other.get_by_label("Dress").input_value() == "Waistcoats"
    other.get_by_role("button", name="Save the event").click()
    other.get_by_text("Waistcoats").wait_for()


@pytest.mark.parametrize("scripts", [True, False], ids=["scripts", "no scripts"])
def test_a_band_adds_contest_rules_of_its_own_and_finds_them_at_a_set(
    empty_service: str, look: Look, scripts: bool
) -> None:
    page = look(f"{empty_service}/rules/contests/new", "laptop", scripts=scripts).page
    body = f"Weir Valley {'moving' if scripts else 'still'}"
    said = {
        "Body": body,
        "Year": "2027",
        "Grade": "4",
        "What is played": "medley",
        "Who adds it": "Morna",
    }
    for label, text in {**said, "Shortest": "6:00", "Longest": "4:00"}.items():
        page.get_by_label(label, exact=True).fill(text)
    page.get_by_role("button", name="Add these rules").click()
    page.get_by_role("heading", name="Not saved yet").wait_for()
    assert page.get_by_label("Body").input_value() == body
    page.get_by_label("Shortest").fill("2:00")
    page.get_by_role("button", name="Add these rules").click()
    page.get_by_role("link", name=f"{body} 2027, 4, medley").wait_for()
    assert "2:00 to 4:00" in page.content()
    page.goto(f"{empty_service}/sets/new")
    page.get_by_text("Played for a dance, or entered at a contest").click()
    page.get_by_label("Contest rules").select_option(
        label=f"our own: {body} 2027, 4, medley (2:00 to 4:00)"
    )
