"""What did a change of a set or of a running order do? The words that stand beside undo."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from planner.event.event import Set


@dataclass(frozen=True, slots=True)
class Change:
    """A change in words; while somebody types on in one place it stays one change."""

    words: str
    is_typing: bool = False


SOME_CHANGE = Change("the last change")


def change_of_set(before: Set, after: Set, titles: Mapping[str, str]) -> Change:
    """What was done to a set: tunes added, taken out or moved, or something typed."""
    old_keys = [entry.tune_key for entry in before.entries]
    moved = change_of_order(old_keys, [entry.tune_key for entry in after.entries], titles)
    if moved is not None:
        return moved
    for old, new in zip(before.entries, after.entries, strict=True):
        if old != new:
            return Change(f"what was typed for “{titles.get(new.tune_key, 'a tune')}”", True)
    return Change("what was typed for the set", is_typing=True)


def change_of_order(
    before: Sequence[str], after: Sequence[str], names: Mapping[str, str]
) -> Change | None:
    """What was added, taken out or moved between two orders of keys; None when nothing was."""
    if list(before) == list(after):
        return None
    more, fewer = Counter(after) - Counter(before), Counter(before) - Counter(after)
    if len(more) + len(fewer) > 1:
        return SOME_CHANGE
    for key in more:
        return Change(f"adding “{names.get(key, key)}”")
    for key in fewer:
        return Change(f"taking out “{names.get(key, key)}”")
    return Change("the change of order")
