"""How often is each part played when the head of a tune gives the order of parts (``P:AABB``)?

An order that only repeats parts where they stand becomes times played. Any other order is left
out with a finding: the model plays parts in the order they are printed.
"""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import groupby

from planner.music.tune import Part
from planner.notation.readtune import Remarks

MOST_LETTERS = 200
_GROUP = re.compile(r"\(([A-Z0-9]*)\)(\d{0,2})")


def with_part_order(
    parts: tuple[Part, ...], names: tuple[str, ...], order: str, remarks: Remarks
) -> tuple[Part, ...]:
    """The parts with their times played as the order says, where it can be followed."""
    letters = expanded_order(order)
    named = [name[:1] for name in names]
    if not letters or letters == "".join(named):
        return parts
    runs = [(letter, len(list(run))) for letter, run in groupby(letters)]
    is_plain = [letter for letter, _ in runs] == named
    if not is_plain or any(part.is_repeated for part in parts):
        text = f"the order of parts {order[:40]} is left out; parts are played as printed"
        remarks.add("part_order", text)
        return parts
    return tuple(
        replace(part, times=min(times, 8)) for part, (_, times) in zip(parts, runs, strict=True)
    )


def expanded_order(order: str) -> str:
    """``A2(BC)2.D`` written out: ``AABCBCD``; empty when it is too long or no order at all."""
    text = re.sub(r"[\s.]", "", order)
    for _ in range(4):
        text = _GROUP.sub(lambda found: found[1] * int(found[2] or 1), text[:MOST_LETTERS])
    text = re.sub(r"([A-Z])(\d{1,2})", lambda found: found[1] * int(found[2]), text)
    return text if re.fullmatch("[A-Z]*", text) and len(text) <= MOST_LETTERS else ""
