"""The strip of the route: every metre at its place. Metres = paces x pace, by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, time

import pytest

from api.display.drawing.ink import WIDE, Block, Figure, Ink
from api.display.drawing.route import heights, metre_ticks, route_figure
from api.display.street import StripPieceView, StripView, strip_of
from planner.event.event import Clock, Event, Item, Occasion, Setting, Sort
from planner.event.route import Route, RoutePlace, RouteStretch, Slope, Wanted
from planner.event.street.street import street_sums
from planner.event.timetable import time_event
from planner.rules.load import load_rulebook
from tests.api.display.drawing.laid_out import check_layout

# 86 paces a minute of 0.762 m are 65.532 m a minute; ten minutes of it are the route.
ROUTE = Route(655.32, 0.762, 86)
ITEMS = (Item(text="Fanfare", seconds=60, gap_after_s=60), Item(text="Drums alone", seconds=120))
SLOPES = tuple(
    StripPieceView(f"street {number}", kind, 100.0 * number, 100.0 * number + 100)
    for number, kind in enumerate(("up", "up", "level", "down"))
)


def strip(route: Route = ROUTE, items: tuple[Item, ...] = ITEMS) -> StripView:
    rules, setting = load_rulebook(), Setting(Occasion.PARADE, Sort.OWN_BAND)
    clock = Clock(step_off=time(10, 30))
    event = Event("day", "A day", setting, date(2031, 6, 14), clock, items, route=route)
    sums = street_sums(event, time_event(event, {}, {}, rules), {}, {}, rules)
    assert sums is not None
    return strip_of(sums)


def wide(figure: Figure) -> Ink:
    return next(ink for ink in figure.drawn if ink.frame is WIDE)


def blocks(ink: Ink, *kinds: str) -> list[Block]:
    return [each for each in ink.blocks if each.kind in kinds]


def test_items_lie_at_their_metres() -> None:
    figure = route_figure(strip(), {})
    found = [(b.x, b.width) for b in blocks(wide(figure), "words")]
    assert found == [pytest.approx((0, 10)), pytest.approx((20, 20))]
    assert figure.words[-2:] == (
        "0 to 66 m: Fanfare, from 10:30.",
        "131 to 262 m: Drums alone, from 10:32.",
    )
    check_layout(figure)


def test_what_is_played_after_the_end_lies_beyond_it() -> None:
    figure = route_figure(strip(items=(Item(text="Long", seconds=800),)), {})
    over = blocks(wide(figure), "over")  # 13 min 20 s of music on a route of ten minutes
    assert [(b.x, b.width) for b in over] == [pytest.approx((75, 25))]
    assert figure.words[-1].endswith(", 218 m of it after the end of the route.")
    check_layout(figure)


def test_the_stretches_are_one_line_from_step_off_to_the_end() -> None:
    route = replace(
        ROUTE,
        length_m=1000,
        stretches=(
            RouteStretch(250, name="the quay"),
            RouteStretch(300, Slope.UP, "the brae", halt_s=40, halt_is_silent=True),
            RouteStretch(450, Slope.DOWN),
        ),
    )
    figure = route_figure(strip(route), {})
    street = [line for line in wide(figure).lines if line.kind == "street"]
    assert [line.x1 for line in street] == pytest.approx([0, 25, 55])
    assert [line.x2 for line in street] == pytest.approx([25, 55, 100])
    assert [line.y2 for line in street[:-1]] == [line.y1 for line in street[1:]]
    assert street[1].y2 < street[1].y1, "uphill rises"
    assert street[2].y2 > street[2].y1, "downhill falls"
    assert figure.words[1:4] == (
        "0 to 250 m: the quay, level.",
        "250 to 550 m: the brae, uphill, then a halt of 40 s.",
        "550 to 1000 m: downhill.",
    )
    check_layout(figure)


def test_places_lie_over_what_is_played_there() -> None:
    base = RoutePlace("the saluting base", Wanted.SOUNDING, 262.128, 327.66)
    church = RoutePlace("the church", Wanted.SILENT, 65.532, 98.298)
    figure = route_figure(strip(replace(ROUTE, places=(base, church))), {})
    ink = wide(figure)
    assert [(b.x, b.width) for b in blocks(ink, "sounding")] == [pytest.approx((40, 10))]
    assert [(b.x, b.width) for b in blocks(ink, "silent")] == [pytest.approx((10, 5))]
    assert [(b.x, b.width) for b in blocks(ink, "zone")] == [
        pytest.approx((10, 5)),
        pytest.approx((40, 10)),
    ]
    # The drums end where the base begins, and no tune is played at all: that is not as wanted.
    assert [sign.kind for sign in ink.signs] == ["amiss"]
    assert "66 to 98 m: the church, be silent; as wanted." in figure.words
    assert "262 to 328 m: the saluting base, be sounding; not as wanted." in figure.words
    check_layout(figure)


def test_the_street_is_as_high_as_it_has_risen() -> None:
    view = StripView(400.0, SLOPES, (), (), ())
    assert heights(view) == pytest.approx((0, 0.5, 1, 1, 0.5))


@pytest.mark.parametrize(
    ("length", "most", "ticks"),
    [(1450, 8, (0, 200, 400, 600, 800, 1000, 1200, 1400)), (90, 3, (0, 50)), (7, 8, range(8))],
)
def test_metres_are_told_at_round_numbers(length: float, most: int, ticks: list[float]) -> None:
    assert metre_ticks(length, most) == tuple(ticks)


@pytest.mark.parametrize("count", [1, 5, 20])
def test_nothing_overlaps_however_much_there_is(count: int) -> None:
    step = 1000.0 / count
    view = StripView(
        1000.0,
        tuple(
            StripPieceView(f"a street called {at}", ("level", "up", "down")[at % 3], at * step,
                           (at + 1) * step) for at in range(count)
        ),
        tuple(StripPieceView(f"Set number {at}", "set", at * step, (at + 0.8) * step, "10:30")
              for at in range(count)),
        tuple(StripPieceView("the house of the provost", ("sounding", "silent")[at % 2],
                             at * step, at * step + 9, "", at % 3 > 0) for at in range(count)),
        tuple(((at + 1) * step, "30 s") for at in range(0, count, 2)),
    )  # fmt: skip
    check_layout(route_figure(view, {"Set number 0": "1", "Set number 1": "12"}))
