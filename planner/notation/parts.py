"""Where do the parts begin and end, how often is each played, and which number has each bar?

Parts come from repeats, double bars and part names, as the ABC standard 2.1 (4.8-4.10) reads them:
a missing repeat start means the last double bar, repeat end or beginning. A double bar inside a
repeat that is opened and closed is no part edge. Bars are numbered within the part from 1, a short
bar at a part's start is the pick-up, bar 0; endings share their numbers.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from planner.findings import Gravity
from planner.music.tune import Bar, Part
from planner.notation.readtune import Remarks
from planner.notation.split_bars import join_split_bars, share_split_bar
from planner.notation.written import WrittenBar, finished_notes

MOST_TIMES = 8


@dataclass(slots=True)
class _Section:
    """A part in the making: its body and its endings as (passes, bars)."""

    body: list[WrittenBar] = field(default_factory=list)
    endings: list[tuple[tuple[int, ...], list[WrittenBar]]] = field(default_factory=list)
    opens: int = 0
    closes: int = 0

    @property
    def current(self) -> list[WrittenBar]:
        return self.endings[-1][1] if self.endings else self.body

    @property
    def last(self) -> WrittenBar | None:
        return self.current[-1] if self.current else None

    @property
    def passes(self) -> set[int]:
        return {one for passes, _ in self.endings for one in passes}

    @property
    def is_lone_pickup(self) -> bool:
        is_single = len(self.body) == 1 and not self.endings
        return is_single and self.body[0].is_short and not self.closes

    def add(self, bar: WrittenBar) -> None:
        if bar.ending:
            self.endings.append((bar.ending, []))
        self.current.append(bar)
        self.opens = max(self.opens, bar.opens)
        self.closes = max(self.closes, bar.closes)


def make_parts(
    bars: list[WrittenBar], remarks: Remarks
) -> tuple[tuple[Part, ...], dict[int, str], tuple[str, ...]]:
    """The parts of a tune, the place of each written bar in words, and the parts' written names."""
    sections = _sections(bars)
    places: dict[int, str] = {}
    parts = tuple(
        _part(number, section, places, remarks) for number, section in enumerate(sections, start=1)
    )
    names = tuple(section.body[0].part_mark if section.body else "" for section in sections)
    return parts, places, names


def _sections(bars: list[WrittenBar]) -> list[_Section]:
    closing = _closed_repeats(bars)
    sections: list[_Section] = []
    section = _Section()
    is_open = False
    for bar in bars:
        if section.last is not None and _starts_part(section, bar, is_open):
            sections.append(section)
            section, is_open = _Section(), False
        if bar.opens:
            is_open = bar.index in closing
        section.add(bar)
        if bar.closes:
            is_open = False
    if section.last is not None:
        sections.append(section)
    return sections


def _closed_repeats(bars: list[WrittenBar]) -> set[int]:
    """Indexes of the bars whose repeat start is followed by its end before another start."""
    closed: set[int] = set()
    end_follows = False
    for bar in reversed(bars):
        end_follows = end_follows or bool(bar.closes)
        if bar.opens:
            if end_follows:
                closed.add(bar.index)
            end_follows = False
    return closed


def _starts_part(section: _Section, bar: WrittenBar, is_open: bool) -> bool:
    last = section.last
    assert last is not None
    if bar.ending:
        return not section.passes.isdisjoint(bar.ending)
    if section.is_lone_pickup:
        return False
    if bar.opens or last.closes:
        return True
    return (last.double_after or bool(bar.part_mark)) and not is_open


def _part(number: int, section: _Section, places: dict[int, str], remarks: Remarks) -> Part:
    body = join_split_bars(section.body, remarks)
    endings = [(passes, join_split_bars(bars, remarks)) for passes, bars in section.endings]
    body, endings = share_split_bar(body, endings, remarks)
    total = len(body) + sum(len(bars) for _, bars in endings)
    first = 0 if body and body[0].is_short and total > 1 else 1
    numbered = [
        *_numbered(body, first, 0),
        *(
            numbered
            for ending, (_, bars) in enumerate(endings, start=1)
            for numbered in _numbered(bars, first + len(body), ending)
        ),
    ]
    for written, bar in numbered:
        _note_place(places, number, written, bar)
    passes = tuple(passes for passes, _ in endings)
    times = _times(section, numbered[0][0], remarks)
    _remark_on_endings(number, section, times, remarks)
    return Part(number, tuple(bar for _, bar in numbered), times, passes)


def _numbered(bars: list[WrittenBar], first: int, ending: int) -> list[tuple[WrittenBar, Bar]]:
    return [
        (bar, Bar(number, bar.metre, finished_notes(bar), ending, bar.starts_line))
        for number, bar in enumerate(bars, start=first)
    ]


def _note_place(places: dict[int, str], part: int, written: WrittenBar, bar: Bar) -> None:
    ending = f", ending {bar.ending}" if bar.ending else ""
    where = "the pick-up" if bar.is_pickup else f"bar {bar.number}"
    places.setdefault(written.index, f"part {part}, {where}{ending}")


def _times(section: _Section, first: WrittenBar, remarks: Remarks) -> int:
    if section.endings:
        return min(max(*section.passes, section.closes), MOST_TIMES)
    if section.closes:
        return min(max(section.opens, section.closes), MOST_TIMES)
    if section.opens:
        text = "a repeat begins here and never ends, so the part is read as played once"
        remarks.add("repeat_unclosed", text, line=first.line, bar_index=first.index)
    return 1


def _remark_on_endings(number: int, section: _Section, times: int, remarks: Remarks) -> None:
    if not section.endings:
        return
    first = section.endings[0][1][0]
    missing = [str(one) for one in range(1, times + 1) if one not in section.passes]
    if times == 1 or missing:
        which = missing[0] if missing else "2"
        text = f"part {number} has no ending for time {which}; write every ending out"
        remarks.add("ending_missing", text, line=first.line, bar_index=first.index)
    if not section.closes and not section.opens:
        text = f"part {number} has endings but no repeat sign"
        remarks.add("repeat_unclosed", text, line=first.line, bar_index=first.index)
    lengths = {len(bars) for _, bars in section.endings}
    if max(lengths) > 2 * min(lengths) + 1:
        text = f"the endings of part {number} differ much in length; end each with a double bar"
        remarks.add("ending_lengths", text, Gravity.WARN, first.line, 0, first.index)
