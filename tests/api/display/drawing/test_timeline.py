"""The line of the day: to scale, in order, and told in words. Lengths are sums by hand."""

from __future__ import annotations

from datetime import date, time

import pytest

from api.display.drawing.ink import NARROW, WIDE, Block, Figure, Ink
from api.display.drawing.timeline import timeline_figure
from planner.event.event import Clock, Event, Item, Occasion, Setting, Sort
from planner.event.timetable import time_event
from planner.rules.load import load_rulebook
from tests.api.display.drawing.laid_out import check_layout

DAY = Clock(time(9, 15), time(9, 45), time(10, 30), time(10, 40))
ITEMS = (
    Item(text="Fanfare", seconds=60, gap_after_s=30),
    Item(text="Drums alone", seconds=120, gap_after_s=15),
    Item(text="A word", seconds=75),
)


def drawn(items: tuple[Item, ...] = ITEMS, clock: Clock = DAY) -> Figure:
    event = Event(
        "day", "A day", Setting(Occasion.PARADE, Sort.OWN_BAND), date(2031, 6, 14), clock, items
    )
    figure = timeline_figure(clock, time_event(event, {}, {}, load_rulebook()), [])
    assert figure is not None
    return figure


def wide(figure: Figure) -> Ink:
    return next(ink for ink in figure.drawn if ink.frame is WIDE)


def blocks(ink: Ink, kind: str) -> list[Block]:
    return [each for each in ink.blocks if each.kind == kind]


def test_items_are_as_wide_as_their_share_of_the_slot() -> None:
    ink = wide(drawn())  # ten minutes: 6 seconds a percent
    assert [(b.x, b.width) for b in blocks(ink, "words")] == [
        pytest.approx((0, 10)),
        pytest.approx((15, 20)),
        pytest.approx((37.5, 12.5)),
    ]
    assert [(b.x, b.width) for b in blocks(ink, "spare")] == [pytest.approx((50, 50))]


def test_the_day_is_one_line_from_meeting_to_the_end() -> None:
    ink = wide(drawn())  # 85 minutes from 9:15 to 10:40
    spans = [*blocks(ink, "wait"), *blocks(ink, "tuning"), *blocks(ink, "on")]
    assert [b.width for b in spans] == pytest.approx([100 * m / 85 for m in (30, 45, 10)])
    assert [b.x for b in spans] == pytest.approx([0, 100 * 30 / 85, 100 * 75 / 85])
    assert sum(b.width for b in spans) == pytest.approx(100)


def test_what_is_too_long_lies_beyond_the_end() -> None:
    figure = drawn((Item(text="A long piece", seconds=900),))  # 15 minutes in a slot of 10
    ink = wide(figure)
    assert [(b.x, b.width) for b in blocks(ink, "over")] == [pytest.approx((200 / 3, 100 / 3))]
    assert "5 min beyond the end." in figure.words
    check_layout(figure)


def test_a_wait_for_a_fixed_start_is_rest() -> None:
    items = (Item(text="First", seconds=60), Item(text="Second", seconds=60, start=time(10, 33)))
    figure = drawn(items)
    assert [b.x for b in blocks(wide(figure), "words")] == pytest.approx([0, 30])
    assert "10:30 First, 1 min, then 2 min of rest." in figure.words


def test_the_words_say_every_time_and_length() -> None:
    assert drawn().words == (
        "Meet 09:15, tune-up 09:45, step-off 10:30 and end 10:40.",
        "10:30 Fanfare, 1 min, then 30 s of rest.",
        "10:31 Drums alone, 2 min, then 15 s of rest.",
        "10:33 A word, 1 min 15 s.",
        "5 min to spare.",
    )


def test_a_day_past_midnight_runs_on() -> None:
    clock = Clock(time(23, 0), time(23, 30), time(23, 55), time(0, 5))
    figure = drawn(clock=clock)
    assert blocks(wide(figure), "wait")[0].width == pytest.approx(100 * 30 / 65)
    assert figure.words[-1] == "5 min to spare."
    check_layout(figure)


def test_without_a_clock_the_running_order_stands_alone() -> None:
    figure = drawn(clock=Clock())
    ink = wide(figure)
    assert sum(b.width for b in blocks(ink, "words")) == pytest.approx(100 * 255 / 300)
    assert not blocks(ink, "on")
    assert figure.words[0] == "Fanfare, 1 min, then 30 s of rest."
    check_layout(figure)


def test_nothing_is_drawn_of_a_day_without_a_running_order() -> None:
    assert timeline_figure(DAY, None, []) is None


@pytest.mark.parametrize("count", [1, 2, 3, 7, 40])
@pytest.mark.parametrize("name", ["Air", "The Slow Gathering of Everybody on the Common at Dusk"])
def test_nothing_overlaps_however_many_items_there_are(count: int, name: str) -> None:
    items = tuple(Item(text=name, seconds=20 + 7 * i, gap_after_s=10) for i in range(count))
    check_layout(drawn(items))
    check_layout(drawn(items, Clock(time(10, 0), time(10, 5), time(10, 6), time(10, 7))))


def test_a_short_day_names_every_item_even_on_a_phone() -> None:
    ink = next(ink for ink in drawn().drawn if ink.frame is NARROW)
    said = " ".join(text.text for text in ink.texts)
    assert all(word in said for word in ("Fanfare", "Drums alone", "A word", "Meet", "Step-off"))
