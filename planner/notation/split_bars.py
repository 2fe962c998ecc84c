"""Which bars were written in two pieces, and how are they put together again?

A bar may be cut by a double bar or a line end, and by the sign of an ending that stands inside it.
The pieces are joined when they fill the metre exactly, and a finding says so.
"""

from __future__ import annotations

from dataclasses import replace

from planner.findings import Gravity
from planner.notation.readtune import Remarks
from planner.notation.written import WrittenBar

Ending = tuple[tuple[int, ...], list[WrittenBar]]


def join_split_bars(bars: list[WrittenBar], remarks: Remarks) -> list[WrittenBar]:
    """The bars with the two pieces of a bar cut at a line end or double bar made one.

    Where most bars are short the unit of length is wrong, not the bar lines: nothing is joined.
    """
    if 2 * sum(bar.is_short for bar in bars) > len(bars) > 2:
        return bars
    joined: list[WrittenBar] = []
    line_waits = False
    for position, bar in enumerate(bars):
        before = joined[-1] if joined and position > 1 else None
        if before is not None and _are_pieces(before, bar):
            joined[-1] = _joined(before, bar)
            line_waits = bar.starts_line
            text = "one bar is written in two pieces around a line end or double bar; they are one"
            remarks.add("split_bar", text, Gravity.NOTE, bar.line, 0, before.index)
            continue
        joined.append(replace(bar, starts_line=True) if line_waits else bar)
        line_waits = False
    return joined


def share_split_bar(
    body: list[WrittenBar], endings: list[Ending], remarks: Remarks
) -> tuple[list[WrittenBar], list[Ending]]:
    """Body and endings where a bar cut by the sign of an ending is written out in each ending."""
    if len(body) < 2 or not endings or not body[-1].is_short:
        return body, endings
    cut = body[-1]
    if any(not _fits(cut, bars[0]) for _, bars in endings):
        return body, endings
    text = "the sign of an ending stands inside this bar; each ending is given the whole bar"
    remarks.add("split_bar", text, Gravity.NOTE, cut.line, 0, cut.index)
    shared = [(passes, [_joined(cut, bars[0]), *bars[1:]]) for passes, bars in endings]
    return body[:-1], shared


def _are_pieces(before: WrittenBar, bar: WrittenBar) -> bool:
    is_cut = before.double_after or bar.starts_line
    if not is_cut or not before.is_short or not bar.is_short:
        return False
    return before.length + bar.length == before.metre.bar_length


def _fits(cut: WrittenBar, rest: WrittenBar) -> bool:
    return rest.is_short and cut.length + rest.length <= cut.metre.bar_length


def _joined(first: WrittenBar, second: WrittenBar) -> WrittenBar:
    notes = [replace(note) for note in (*first.notes, *second.notes)]
    return replace(
        first,
        notes=notes,
        ending=second.ending or first.ending,
        closes=second.closes,
        double_after=second.double_after,
    )
