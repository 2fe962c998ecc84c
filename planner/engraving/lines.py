"""At which bars does a printed line of music begin?

The writer's own lines are kept when they fit on paper; else a line is four bars (or what the tune
asks for), its pick-up before it, and every part begins a line.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import pairwise

from planner.music.tune import Bar, Part, Tune, bar_id

USUAL_LINE_BARS = 4
# Beyond this many bars the writer's line would be too tight to read on a stand.
LONGEST_LINE_BARS = 6
# A second ending this long gets its own line; shorter ones stay beside the first.
LONG_ENDING_BARS = 3


def line_starts(tune: Tune) -> frozenset[str]:
    """Identities of the bars that begin a printed line, that of the first bar included.

    A single bar never stands alone on a line that could be the end of the line above.
    """
    begins = _writers_line if _has_readable_lines(tune) else _line_of_so_many(tune)
    return frozenset(
        bar_id(part.number, part.bars[index].number, part.bars[index].ending)
        for part in tune.parts
        for index in _without_single_bars(
            part, [n for n, bar in enumerate(part.bars) if begins(part, n, bar)]
        )
    )


def _writers_line(_part: Part, _index: int, bar: Bar) -> bool:
    return bar.starts_line


def _line_of_so_many(tune: Tune) -> Callable[[Part, int, Bar], bool]:
    line_bars = tune.line_bars or USUAL_LINE_BARS
    return lambda part, index, bar: _begins_line(part, index, bar, line_bars)


def _without_single_bars(part: Part, starts: Sequence[int]) -> list[int]:
    """The places where lines of a part begin, less those of lines that hold only one bar."""
    kept: list[int] = []
    for start, end in pairwise([*starts, len(part.bars)]):
        bars = _full_bars(part, start, end)
        above = _full_bars(part, kept[-1], start) if kept else LONGEST_LINE_BARS
        if bars != 1 or above >= LONGEST_LINE_BARS:
            kept.append(start)
    return kept


def _full_bars(part: Part, start: int, end: int) -> int:
    return sum(not bar.is_pickup for bar in part.bars[start:end])


def _has_readable_lines(tune: Tune) -> bool:
    bars = [bar for part in tune.parts for bar in part.bars]
    longest, current = 0, 0
    for bar in bars:
        current = 0 if bar.starts_line else current
        current += not bar.is_pickup
        longest = max(longest, current)
    has_lines = any(bar.starts_line for bar in bars[1:])
    return has_lines and longest <= LONGEST_LINE_BARS


def _begins_line(part: Part, index: int, bar: Bar, line_bars: int) -> bool:
    if index == 0:
        return True
    if bar.is_pickup or (bar.number == 1 and part.bars[index - 1].is_pickup):
        return False
    is_full_line = (bar.number - 1) % line_bars == 0 and bar.number > 1
    return is_full_line or _begins_long_ending(part, index, bar)


def _begins_long_ending(part: Part, index: int, bar: Bar) -> bool:
    is_first_of_ending = bar.ending > 1 and part.bars[index - 1].ending != bar.ending
    ending_bars = sum(other.ending == bar.ending for other in part.bars)
    return is_first_of_ending and ending_bars >= LONG_ENDING_BARS


def halved_lines(lines: Sequence[Sequence[str]], too_full: Iterable[int]) -> frozenset[str]:
    """Identities of the bars in the middle of the lines that are too full.

    Each line is the identities of its bars. Lines of as many bars are broken alike, so that a
    listener's phrases stay below each other.
    """
    fewest = min((len(lines[n]) for n in too_full if len(lines[n]) > 1), default=0)
    return frozenset(bars[(len(bars) + 1) // 2] for bars in lines if fewest and len(bars) >= fewest)
