"""Seven stories of the trade, each from its beginning to its end, on a phone and on a laptop.

The figures are worked out beside each check: paces times metres, bars times beats. Published
figures are checked by the tests of ``tests/api/stories`` and ``tests/published``.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from itertools import count

import pytest
from playwright.sync_api import Browser, expect

from tests.browser.conftest import SIZES
from tests.browser.people import Somebody, builds_a_set, plans_an_event

pytestmark = pytest.mark.browser

WAYS = {
    "phone": ("phone", True),
    "laptop": ("laptop", True),
    "laptop without scripts": ("laptop", False),
}
PATIENCE_MS = 20_000
NUMBERS = count(100)
SATURDAYS = (date(2031, 6, 7) + timedelta(weeks=week) for week in count())
"""Each event has a day of its own: the service refuses two at the same hour."""
LAST_OF_A_PART = "1/4/0/6"
TUNE, PLAYER, PIPER = "Skelder Row in the Rain", "Ishbel Tarrowan", "Wanda Pellowick"


@pytest.fixture(params=list(WAYS))
def somebody(request: pytest.FixtureRequest, browser: Browser, service: str) -> Iterator[Somebody]:
    """Somebody at a fresh window."""
    size, scripts = WAYS[request.param]
    width, height = SIZES[size]
    window = browser.new_context(
        viewport={"width": width, "height": height}, java_script_enabled=scripts
    )
    window.set_default_timeout(PATIENCE_MS)
    expect.set_options(timeout=PATIENCE_MS)
    yield Somebody(window.new_page(), service, request.param)
    window.close()


def comes(who: Somebody, event: int, *names: str) -> None:
    """Some people say yes."""
    who.go(f"/events/{event}/line-up")
    for name in names:
        row = who.page.get_by_role("group", name=name)
        row.get_by_label("yes", exact=True).check()
    who.saves("Save the line-up")


def test_1_parade_set_list(somebody: Somebody) -> None:
    who = somebody
    # 1200 m by 86 paces of 0.76 m a minute, 65.36 m: 18.36 minutes, or 18 min 22 s
    street = {"length_m": "1200", "pace_m": "0.76", "steps_per_minute": "86"}
    clock = {"meet": "09:00", "tune_up": "09:40", "step_off": "10:30", "end": "11:00"}
    day = next(SATURDAYS)
    event = plans_an_event(
        who, f"Mill Day, {who.way}", "Parade, own band", "1 Ferry Lamps", "2 Bakers",
        route__asked_m_per_minute="107", day=day.isoformat(),
        **{f"clock__{name}": at for name, at in clock.items()},
        **{f"route__{name}": value for name, value in street.items()},
    )  # fmt: skip
    who.reads("take 18 min 22 s", "71% is rest", "six times")
    # 107 m a minute by paces of 0.76 m: 141 of them
    who.reads("107 m a minute are asked for, which needs 141 paces a minute")
    who.keep("1 parade, planned")

    comes(who, event, PIPER, PLAYER)
    who.go("/people/readiness")
    who.follow(PIPER)
    who.choose(TUNE, "not yet")
    who.saves("Save")
    who.go(f"/events/{event}")
    who.reads(f"{PIPER} is asked for “{TUNE}”")
    who.keep("1 parade, who cannot play what")
    before = who.sheet(f"/events/{event}/call-sheet.pdf")

    who.follow("The day changes")
    who.fill(move_minutes="15")
    who.press("Move the slot")
    who.reads("starts at 10:45, was 10:30.")
    who.keep("1 parade, the slot has moved")
    after = who.sheet(f"/events/{event}/call-sheet.pdf")
    assert "10:45" in after
    assert "10:45" not in before
    assert version_of(after) > version_of(before)

    who.go("/people/readiness")
    who.follow(PIPER)
    who.choose(TUNE, "pipes, marching")
    who.saves("Save")


def version_of(sheet: str) -> int:
    return int(sheet.split("version ")[1].split(",")[0])


def test_1_a_massed_set_of_mixed_metres_is_refused(somebody: Somebody) -> None:
    who = somebody
    number = next(NUMBERS)
    called = builds_a_set(who, number, "Mixed", TUNE, "The Bakers of Cobbleharr")
    plans_an_event(who, f"Massed, {who.way}", "Parade, massed bands", called)
    who.reads("keep one time signature a set: here are 2/4 and 6/8.")
    who.keep("1 parade, mixed metres refused")


def test_2_where_is_it_strict(somebody: Somebody) -> None:
    who = somebody
    event = plans_an_event(
        who, f"Ring two, {who.way}", "Competition, march, strathspey and reel", "4 Keepers"
    )
    who.follow("For the drum sergeant")
    who.reads("Strict tempo but for six marks to follow, six still to be agreed.")
    who.page.get_by_label("Only what is not strict").check()
    if who.page.get_by_role("button", name="Show", exact=True).is_visible():
        who.press("Show")
    who.page.wait_for_function("!document.querySelector('.bar.strict')")
    expect(who.page.locator(".bar.follow")).to_have_count(8)
    who.keep("2 drums, only what is not strict")

    who.page.get_by_label("Who says so").first.fill("Morna Gristhwaite")
    who.page.get_by_label("Remark").first.fill("With the flam")
    who.page.get_by_role("button", name="Agree").first.click()
    who.reads("Agreed by Morna Gristhwaite", "“With the flam”", "five still to be agreed")
    who.keep("2 drums, one agreed")

    # Five per cent more of the hold is no longer what was agreed.
    who.go(f"/events/{event}/tunes/9")
    who.page.get_by_role("link", name="Change it").first.click()
    who.fill(ms="30", set_by="Greer Silverthwart")
    who.saves("Set it by hand")
    who.go(f"/events/{event}/drums")
    who.page.get_by_role("heading", name="Changed since agreed").wait_for()
    who.keep("2 drums, changed since agreed")


def test_2_a_breath_on_a_strict_event_is_a_conflict_with_its_reason(somebody: Somebody) -> None:
    who = somebody
    event = plans_an_event(who, f"Strict, {who.way}", "Parade, own band", "4 Keepers")
    who.go(f"/events/{event}/tunes/9?note={LAST_OF_A_PART}")
    who.page.get_by_role("radio", name="breathe").check()
    who.fill(set_by="Greer Silverthwart")
    who.saves("Set it by hand")
    who.go(f"/events/{event}/drums?only=open")
    assert who.page.locator(".bar.conflict").count() == 1
    who.reads("Breathe set by hand goes beyond what parade allows.")
    who.keep("2 drums, a conflict")


def test_3_my_sheet_for_this_event(somebody: Somebody) -> None:
    who = somebody
    who.go("/players/events/1")
    who.keep("3 player, who are you")
    who.follow(PLAYER)
    who.page.wait_for_url("**/events/1")
    who.reads(
        "Six tunes to play; harmony in The Ferry Lamps of Ternhollow.",
        "You play harmony", "10:30", "Start Two three-pace rolls", "Stop signal",
    )  # fmt: skip
    who.keep("3 player, my card")
    who.go("/players")
    expect(who.page.get_by_role("heading", level=1)).to_have_text(PLAYER)
    who.keep("3 player, my events")
    assert f"What {PLAYER} plays" in who.sheet("/players/events/1/outs.pdf?person=3")


def test_4_dance(somebody: Somebody) -> None:
    who = somebody
    called = builds_a_set(
        who, next(NUMBERS), "Fling", "Ishbel Tarrowan of the Weir", Dance="Highland Fling"
    )
    who.fill(steps="6", entries__0__tempo_bpm="120")
    who.saves("Save the set")
    plans_an_event(who, f"Fling, {who.way}", "Dance accompaniment", called)
    # 4 bars of introduction and 6 steps of 8 bars, 4 beats each, at 120: 104 s
    who.reads("52 with the introduction", "(104.0 s)", "2.5% either way at most")
    who.reads("What was left as written")
    who.keep("4 dance")


def test_5_contest(somebody: Somebody) -> None:
    who = somebody
    rules = "RSPBA 2026, grade 2, medley (4:00 to 6:00)"
    drawn = [
        builds_a_set(
            who, next(NUMBERS), name, "Spilt Ink at Skelder Row", "The Heronry at Oxenwath",
            Contest_rules=rules,
        )
        for name in ("Drawn", "Held ready")
    ]  # fmt: skip
    plans_an_event(who, f"Contest, {who.way}", "Competition, medley", *drawn)
    who.reads("4:00 to 6:00", "to be drilled")
    who.keep("5 contest")


def test_6_who_and_when(somebody: Somebody) -> None:
    who = somebody
    called = builds_a_set(
        who, next(NUMBERS), "Minimum", TUNE,
        Contest_rules="RSPBA 2022, grade 1, minimum (no time limit on record)",
    )  # fmt: skip
    day = next(SATURDAYS)
    event = plans_an_event(
        who, f"Numbers, {who.way}", "Competition, medley", called, answers_by="2031-05-31",
        day=day.isoformat(), clock__meet="09:15", clock__step_off="10:30",
    )  # fmt: skip
    comes(who, event, PLAYER)
    who.go(f"/events/{event}/people")
    # the rule book of 2022 asks grade 1 for eight pipers
    who.reads("1 of 8 on pipes said yes", "7 too few", "Saturday 31 May 2031")
    who.keep("6 who and when")
    sheet = who.sheet(f"/events/{event}/call-sheet.pdf")
    assert all(each in sheet for each in ("09:15", "10:30", f"Saturday {day.day} {day:%B %Y}"))


def test_7_same_tune_two_occasions(somebody: Somebody) -> None:
    who = somebody
    who.go("/tunes/9")
    who.follow("Compare two occasions")
    who.choose("One occasion", "Parade, own band")
    who.choose("The other", "Exhibition, standing")
    who.press("Compare")
    who.page.get_by_role("heading", name="What differs").wait_for()
    who.reads("(only exhibition, standing)", "Drums strict (parade, own band)")
    assert who.page.locator(".side-by-side .music-page svg:visible").count() >= 2
    who.keep("7 two occasions")
    who.go("/events/3/tunes/9")
    who.choose("Look at it on another occasion", "Parade, own band")
    if who.page.get_by_role("button", name="Look", exact=True).is_visible():
        who.press("Look")
    who.page.get_by_role("heading", name="Parade, own band: what changes").wait_for()
    who.keep("7 looked at on another occasion")
