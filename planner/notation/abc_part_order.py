"""In which order are the parts played when the head of a tune says so (``P:AABB``, ``P:ABA``)?

An order that only repeats parts where they stand becomes times played; any other becomes turns,
each part with the repeats that are written in it. What names a part that is not there, or a part
more often than its repeat signs do, is left out with a finding.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby

from planner.findings import Gravity
from planner.music.tune import Part, Turn
from planner.notation.readtune import Remarks

MOST_LETTERS = 200
_GROUP = re.compile(r"\(([A-Z0-9]*)\)(\d{0,2})")

Order = tuple[tuple[Part, ...], tuple[Turn, ...]]
"""The parts with their times played, and their turns where these are not as printed."""


def with_part_order(
    parts: tuple[Part, ...], names: tuple[str, ...], order: str, remarks: Remarks
) -> Order:
    """The parts as the order of the head has them played, as far as it can be followed."""
    letters = expanded_order(order)
    named = [name[:1] for name in names]
    if not letters or letters == "".join(named):
        return parts, ()
    runs = [(letter, len(list(run))) for letter, run in groupby(letters)]
    is_plain = [letter for letter, _ in runs] == named
    if is_plain and not any(part.is_repeated for part in parts):
        timed = zip(parts, runs, strict=True)
        return tuple(replace(part, times=min(times, 8)) for part, (_, times) in timed), ()
    turns = _turns(parts, named, runs)
    if turns and [turn.part for turn in turns] == [part.number for part in parts]:
        return parts, ()
    if not turns:
        text = f"the order of parts {order[:40]} is left out; parts are played as printed"
        remarks.add("part_order", text)
        return parts, ()
    text = f"the parts are played in the order {order[:40]}, each with its repeats"
    remarks.add("part_order", text, Gravity.NOTE)
    return parts, turns


def _turns(
    parts: Sequence[Part], named: Sequence[str], runs: Sequence[tuple[str, int]]
) -> tuple[Turn, ...]:
    """A turn for each letter; a part named as often as its repeat says has one for all of them."""
    by_name = dict(zip(named, parts, strict=True))
    if len(by_name) < len(parts) or any(letter not in by_name for letter, _ in runs):
        return ()
    turns: list[Turn] = []
    for letter, count in runs:
        part = by_name[letter]
        if part.is_repeated and count not in (1, part.times):
            return ()
        turns += [Turn(part.number, part.passes)] * (1 if part.is_repeated else count)
    return tuple(turns)


def expanded_order(order: str) -> str:
    """``A2(BC)2.D`` written out: ``AABCBCD``; empty when it is too long or no order at all."""
    text = re.sub(r"[\s.]", "", order)
    for _ in range(4):
        text = _GROUP.sub(lambda found: found[1] * int(found[2] or 1), text[:MOST_LETTERS])
    text = re.sub(r"([A-Z])(\d{1,2})", lambda found: found[1] * int(found[2]), text)
    return text if re.fullmatch("[A-Z]*", text) and len(text) <= MOST_LETTERS else ""
