"""How does the day look? Meet, tune-up and step-off on one line, the running order enlarged below.

Seconds are counted from step-off where it is known, else from the first item. What lasts until the
cue is as long as once through, and open at its end.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import time

from api.display.drawing.ink import (
    NARROW,
    Block,
    Figure,
    Frame,
    Ink,
    Line,
    Scale,
    Text,
    in_both_frames,
    text_width,
)
from api.display.drawing.labels import Wanted, height_of, place_labels
from api.display.words import clock_words, join_words, length_words, sentence, sentence_start
from planner.event.event import Clock
from planner.event.timetable import EventTimetable, Slot

DAY_S = 24 * 3600
DAY_PX, ORDER_PX, WEDGE_PX = 10.0, 30.0, 26.0
NUMBER_BASE_PX = 20.0
LOOKS = (
    ("set", "a set, with its number"),
    ("words", "something else in the running order"),
    ("open", "lasts until the cue"),
    ("spare", "time to spare"),
    ("over", "beyond the end"),
)


@dataclass(frozen=True, slots=True)
class Played:
    """An item where it lies, in seconds; ``number`` is empty for what is no set."""

    name: str
    number: str
    clock: str
    from_s: float
    seconds: float
    is_open: bool

    @property
    def end_s(self) -> float:
        """The second it ends at."""
        return self.from_s + self.seconds


@dataclass(frozen=True, slots=True)
class Day:
    """What is drawn: ``named`` are (name, clock, second), before step-off negative.

    ``slot_s`` is how long the slot is from step-off to the end, None where one of them is open.
    """

    named: tuple[tuple[str, str, float], ...]
    played: tuple[Played, ...]
    slot_s: float | None

    @property
    def from_s(self) -> float:
        """The first second of the running order as drawn."""
        return min([0.0, *(each.from_s for each in self.played)])

    @property
    def to_s(self) -> float:
        """The last second of the running order as drawn."""
        return max([self.slot_s or 0.0, *(each.end_s for each in self.played)])

    @property
    def spare_s(self) -> float | None:
        """Seconds between the last item and the end of the slot, negative when beyond it."""
        if self.slot_s is None or not self.played:
            return None
        return self.slot_s - self.played[-1].end_s


def timeline_figure(
    clock: Clock, timetable: EventTimetable | None, numbers: Sequence[str]
) -> Figure | None:
    """The day of an event, None where nothing is in its running order.

    ``numbers`` are the numbers of its sets, in playing order.
    """
    if timetable is None or not timetable.slots or not timetable.length:
        return None
    return figure_of_day(day_of(clock, timetable, numbers))


def figure_of_day(day: Day) -> Figure:
    """A day as it is drawn and told."""
    return Figure(
        key="timeline",
        name="The day as a line, to scale",
        words=tuple(_told(day)),
        drawn=in_both_frames(lambda frame: _draw(day, frame)),
        legend=tuple(look for look in LOOKS if look[0] in _looks(day)),
    )


def day_of(clock: Clock, timetable: EventTimetable, numbers: Sequence[str]) -> Day:
    """Every time of a day in seconds from step-off, else from the first item."""
    origin = clock.step_off or timetable.start
    return Day(
        tuple(_named(clock, origin)),
        tuple(_played(timetable.slots, origin, iter(numbers))),
        _after(origin, clock.end) if origin and clock.end else None,
    )


def _named(clock: Clock, origin: time | None) -> Iterator[tuple[str, str, float]]:
    if origin is None:
        return
    before = (("meet", clock.meet), ("tune-up", clock.tune_up))
    for name, at in before:
        if at is not None:
            yield name, clock_words(at), -_after(at, origin)
    if clock.step_off:
        yield "step-off", clock_words(clock.step_off), 0.0
    if clock.end:
        yield "end", clock_words(clock.end), _after(origin, clock.end)


def _after(start: time, end: time) -> float:
    """Seconds from one time to the other, past midnight if need be."""
    return float((_of_day(end) - _of_day(start)) % DAY_S)


def _of_day(at: time) -> float:
    return at.hour * 3600 + at.minute * 60 + at.second + at.microsecond / 1e6


def _played(slots: Sequence[Slot], origin: time | None, numbers: Iterator[str]) -> Iterator[Played]:
    at = 0.0
    for slot in slots:
        if origin and slot.start:
            at = _after(origin, slot.start)
        number = next(numbers, "") if slot.item.set_key else ""
        start = clock_words(slot.start)
        yield Played(slot.name, number, start, at, slot.seconds, slot.is_open_ended)
        at += slot.seconds + float(slot.item.gap_after_s)


def _told(day: Day) -> Iterator[str]:
    if day.named:
        yield sentence(join_words([f"{name} {clock}" for name, clock, _ in day.named]))
    for each, after in zip(day.played, (*day.played[1:], None), strict=True):
        yield sentence_start(f"{_name(each)}, {_how_long(each)}{_rest(each, after)}.")
    spare = day.spare_s
    if spare is not None:
        yield sentence(_spare_words(spare, day.played[-1].is_open))


def _name(each: Played) -> str:
    named = f"set {each.number}, {each.name}" if each.number else each.name
    return f"{each.clock} {named}" if each.clock else named


def _how_long(each: Played) -> str:
    return f"{length_words(each.seconds)}{', then until the cue' if each.is_open else ''}"


def _rest(each: Played, after: Played | None) -> str:
    gap = after.from_s - each.end_s if after else 0.0
    return f", then {length_words(gap)} of rest" if gap >= 1 else ""


def _spare_words(spare_s: float, is_open: bool) -> str:
    if spare_s < 0:
        return f"{length_words(-spare_s)} beyond the end"
    return f"{length_words(spare_s)} to spare{' before the cue' if is_open else ''}"


def _looks(day: Day) -> set[str]:
    looks = {"set" if each.number else "words" for each in day.played}
    looks |= {"open" for each in day.played if each.is_open}
    spare = day.spare_s or 0.0
    return looks | ({"spare"} if spare > 0 else set()) | ({"over"} if spare < 0 else set())


def _draw(day: Day, frame: Frame) -> Ink:
    head = _draw_day(day, frame)
    y = head.height
    scale = Scale(day.from_s, day.to_s)
    labels = place_labels(_wanted(day, scale), frame, y + ORDER_PX, 7 if frame is NARROW else 6)
    return Ink(
        frame,
        y + ORDER_PX + height_of(labels),
        (*head.blocks, *_blocks(day, scale, y)),
        (*head.lines, *_ticks(day, scale, y), *labels.threads),
        (*head.texts, *_numbers(day, scale, frame, y), *labels.texts),
    )


def _draw_day(day: Day, frame: Frame) -> Ink:
    """The day from meeting on, and which piece of it the running order is."""
    first = min([day.from_s, *(at for _, _, at in day.named)])
    if first >= day.from_s or first < -DAY_S / 2:
        return Ink(frame, 2.0)  # nothing before it, or times out of order
    scale = Scale(first, day.to_s)
    wanted = [Wanted(scale.at(at), f"{sentence_start(name)} {clock}")
              for name, clock, at in day.named]  # fmt: skip
    above = height_of(place_labels(wanted, frame, 0, 4, above=True))
    labels = place_labels(wanted, frame, above, 4, above=True)
    foot = above + DAY_PX
    tuning = next((at for name, _, at in day.named if name == "tune-up"), day.from_s)
    spans = (("wait", first, tuning), ("tuning", tuning, day.from_s), ("on", day.from_s, day.to_s))
    return Ink(
        frame,
        foot + WEDGE_PX,
        tuple(
            Block(scale.at(start), scale.length(end - start), above, DAY_PX, kind)
            for kind, start, end in spans
            if end > start
        ),
        (
            Line(scale.at(day.from_s), foot, 0.0, foot + WEDGE_PX, "wedge"),
            Line(100.0, foot, 100.0, foot + WEDGE_PX, "wedge"),
            *labels.threads,
        ),
        labels.texts,
    )


def _blocks(day: Day, scale: Scale, y: float) -> Iterator[Block]:
    for each in day.played:
        kind = "set" if each.number else "words"
        look = f"{kind} open" if each.is_open else kind
        yield Block(scale.at(each.from_s), scale.length(each.seconds), y, ORDER_PX, look)
    spare = day.spare_s
    if spare and day.slot_s is not None:
        start = min(day.slot_s, day.played[-1].end_s)
        kind = "spare" if spare > 0 else "over"
        yield Block(scale.at(start), scale.length(abs(spare)), y, ORDER_PX, kind)


def _ticks(day: Day, scale: Scale, y: float) -> Iterator[Line]:
    foot = y + ORDER_PX
    yield Line(0.0, foot, 100.0, foot, "axis")
    if day.slot_s is not None:
        yield Line(scale.at(day.slot_s), y - 5, scale.at(day.slot_s), foot, "limit")


def _numbers(day: Day, scale: Scale, frame: Frame, y: float) -> Iterator[Text]:
    for each in day.played:
        if frame.px(scale.length(each.seconds)) > text_width(each.number) + 4:
            middle = scale.at(each.from_s + each.seconds / 2)
            yield Text(middle, y + NUMBER_BASE_PX, each.number, "middle", "on-set")
    spare = day.spare_s or 0.0
    room = frame.px(scale.length(spare)) - 6
    words = (_spare_words(spare, False), length_words(spare)) if spare > 0 else ()
    said = next((each for each in words if text_width(each) <= room), "")
    if said:
        middle = scale.at(day.to_s - spare / 2)
        yield Text(middle, y + NUMBER_BASE_PX, said, "middle", "strong")


def _wanted(day: Day, scale: Scale) -> Iterator[Wanted]:
    for each in day.played:
        name = f"{each.clock} {each.name}".strip()
        words = f"{name}, {length_words(each.seconds)}"
        yield Wanted(scale.at(each.from_s), words, short=each.clock)
    if day.slot_s is not None and (day.spare_s or 0.0) <= -1:
        yield Wanted(scale.at(day.slot_s), _spare_words(day.spare_s or 0.0, False), "label strong")
