"""What differs between two plans of one tune, in sentences?"""

from __future__ import annotations

from collections.abc import Sequence

from api.display.choices import kind_words
from api.display.marks import done_words
from api.display.words import LAYER_WORDS, addresses_in_words, counted, sentence, sentence_start
from planner.compare import ChangedMark, Comparison, compare_plans
from planner.marks.marks import Mark
from planner.plan import TunePlan

LayersApart = tuple[tuple[str, str, str], ...]
"""Layers that differ: the layer, its level here, its level there."""


def what_differs(left: TunePlan, right: TunePlan) -> tuple[LayersApart, tuple[str, ...]]:
    """The layers that differ, with both levels, and every other difference in a sentence."""
    found = compare_plans(left, right)
    layers = tuple(
        (LAYER_WORDS[layer.replace(" ", "_")], one, other) for layer, one, other in found.layers
    )
    return layers, difference_sentences(left, right, found)


def occasion_words(plan: TunePlan) -> str:
    """The occasion a plan was made for, such as ``Exhibition, standing``."""
    return kind_words(plan.licence.occasion, plan.licence.sort)


def difference_sentences(left: TunePlan, right: TunePlan, found: Comparison) -> tuple[str, ...]:
    """What differs besides the layers, a sentence each; one sentence when nothing does."""
    one, other = _small_name(left), _small_name(right)
    lines = [f"drums {found.drums[0]} ({one}), {found.drums[1]} ({other})"] if found.drums else []
    lines += _changed(found.changed, one, other)
    lines += _alone(found.only_before, one)
    lines += _alone(found.only_after, other)
    if not lines:
        same = counted(len(left.marks), "mark")
        lines.append(f"the same {same} on both" if left.marks else "no marks on either occasion")
    return tuple(sentence(sentence_start(line)) for line in lines)


def _small_name(plan: TunePlan) -> str:
    name = occasion_words(plan)
    return name[:1].lower() + name[1:]


def _changed(pairs: Sequence[ChangedMark], one: str, other: str) -> list[str]:
    """Notes that are marked on both occasions, and not alike."""
    groups: dict[str, list[Mark]] = {}
    for pair in pairs:
        words = _change_words(pair.before, pair.after, one, other)
        groups.setdefault(words, []).append(pair.before)
    return [f"{_where(marks)}: {words}" for words, marks in groups.items()]


def _change_words(here: Mark, there: Mark, one: str, other: str) -> str:
    sizes = abs(round(here.ms)), abs(round(there.ms))
    is_same_move = done_words(here) == done_words(there)
    if is_same_move and sizes[0] == sizes[1]:
        return f"{done_words(here)}; the drums {here.drums} ({one}), {there.drums} ({other})"
    if is_same_move:
        return f"{done_words(here)}, by {sizes[0]} ms ({one}) or {sizes[1]} ms ({other})"
    return (
        f"{done_words(here)}, by {sizes[0]} ms ({one}); "
        f"{done_words(there)}, by {sizes[1]} ms ({other})"
    )


def _alone(marks: Sequence[Mark], name: str) -> list[str]:
    """Notes that are marked on one occasion only."""
    groups: dict[str, list[Mark]] = {}
    for mark in marks:
        groups.setdefault(f"{done_words(mark)} (only {name})", []).append(mark)
    return [f"{_where(found)}: {words}" for words, found in groups.items()]


def _where(marks: Sequence[Mark]) -> str:
    return addresses_in_words([mark.place.address for mark in marks])
