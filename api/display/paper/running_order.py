"""What comes when? The running order of an event, to hang on a wall or a stand."""

from __future__ import annotations

from dataclasses import dataclass

from api.display.own_bars import own_bar_facts
from api.display.paper.call_sheet import OrderLineView, call_sheet_view, order_lines
from api.display.planned import PlannedEntry, PlannedEvent, strictness_word
from api.display.street import WayLineView, start_words, way_lines
from api.display.words import metre_words, parts_played, tempo_words, times_through
from planner.event.timetable import Slot


@dataclass(frozen=True, slots=True)
class OrderTuneView:
    """One tune of a set: its title, and idiom, metre, tempo and times through."""

    title: str
    facts: str


@dataclass(frozen=True, slots=True)
class OrderItemView:
    """One item: a set with its tunes, or words."""

    time: str
    number: str
    what: str
    length: str
    strictness: str
    tunes: tuple[OrderTuneView, ...] = ()
    where: str = ""


@dataclass(frozen=True, slots=True)
class RunningOrderView:
    """The running order of an event."""

    event: str
    occasion: str
    day: str
    times: tuple[tuple[str, str], ...]
    stop_signal: str
    items: tuple[OrderItemView, ...]
    sums: tuple[str, ...]
    version: str
    way: tuple[WayLineView, ...] = ()


def running_order_view(planned: PlannedEvent) -> RunningOrderView:
    """The running order of an event, each set with its tunes."""
    call = call_sheet_view(planned)
    slots = planned.timetable.slots if planned.timetable else ()
    lines = order_lines(planned)
    return RunningOrderView(
        event=call.event,
        occasion=call.occasion,
        day=call.day,
        times=call.times,
        stop_signal=planned.event.arrangements.stop_signal,
        items=tuple(_item(planned, lines[at], at, slot) for at, slot in enumerate(slots)),
        sums=call.sums,
        version=call.version,
        way=way_lines(planned.street) if planned.street else (),
    )


def _item(planned: PlannedEvent, line: OrderLineView, index: int, slot: Slot) -> OrderItemView:
    where = f"at {start_words(planned.street.items[index])}" if planned.street else ""
    found = [each for each in planned.sets if each.set.key == slot.item.set_key]
    if not found:
        return OrderItemView(line.time, "", line.what, line.length, "", where=where)
    played = found[0]
    return OrderItemView(
        time=line.time,
        number=str(played.set.number),
        what=played.set.name,
        length=line.length,
        strictness=strictness_word(played.plans),
        tunes=tuple(OrderTuneView(each.tune.title, _facts(each)) for each in played.entries),
        where=where,
    )


def _facts(each: PlannedEntry) -> str:
    plan, entry = each.plan, each.entry
    parts = parts_played(entry, len(plan.tune.parts)) if entry.parts else ""
    facts = (
        plan.analysis.idiom,
        metre_words(plan.tune.metre),
        tempo_words(plan.analysis.tempo.bpm),
        parts,
        times_through(entry.times_through),
        *own_bar_facts(each),
    )
    return " · ".join(filter(None, facts))
