"""What differs when the same tune is played on two occasions, in words and on the staff?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from api.display.choices import kind_words
from api.display.marks import done_words
from api.display.music import MusicView, music_view
from api.display.planned_tune import LAYER_WORDS, PlannedTuneView, planned_tune_view
from api.display.words import addresses_in_words, counted, sentence, sentence_start
from planner.event.event import Entry
from planner.marks.marks import Mark
from planner.plan import TunePlan


@dataclass(frozen=True, slots=True)
class SideView:
    """One of the two occasions."""

    name: str
    plan: PlannedTuneView
    music: MusicView


@dataclass(frozen=True, slots=True)
class OccasionsView:
    """A tune on two occasions. ``layers`` are (layer, level left, level right) that differ."""

    address: str
    title: str
    left: SideView
    right: SideView
    layers: tuple[tuple[str, str, str], ...]
    differences: tuple[str, ...]


def occasions_view(key: str, left: TunePlan, right: TunePlan) -> OccasionsView:
    """The same tune on two occasions side by side."""
    return OccasionsView(
        address=f"/tunes/{key}",
        title=left.tune.title,
        left=_side(key, left, "left"),
        right=_side(key, right, "right"),
        layers=_layers(left, right),
        differences=difference_sentences(left, right),
    )


def _side(key: str, plan: TunePlan, side: str) -> SideView:
    return SideView(
        name=_name(plan),
        plan=planned_tune_view(plan, Entry(key), anchor=side),
        music=music_view(plan.tune, plan.marks, f"{side}-"),
    )


def _name(plan: TunePlan) -> str:
    return kind_words(plan.licence.occasion, plan.licence.sort)


def _layers(left: TunePlan, right: TunePlan) -> tuple[tuple[str, str, str], ...]:
    pairs = (
        (words, str(getattr(left.licence.layers, name)), str(getattr(right.licence.layers, name)))
        for name, words in LAYER_WORDS.items()
    )
    return tuple(pair for pair in pairs if pair[1] != pair[2])


def difference_sentences(left: TunePlan, right: TunePlan) -> tuple[str, ...]:
    """What differs between two plans of a tune, a sentence each; one sentence when nothing does."""
    one, other = _small_name(left), _small_name(right)
    lines = []
    if left.drums.tempo is not right.drums.tempo:
        lines.append(f"drums {left.drums.tempo} ({one}), {right.drums.tempo} ({other})")
    lines += _mark_differences(left, right, one, other)
    if not lines:
        same = counted(len(left.marks), "mark")
        lines.append(f"the same {same} on both" if left.marks else "no marks on either occasion")
    return tuple(sentence(sentence_start(line)) for line in lines)


def _small_name(plan: TunePlan) -> str:
    name = _name(plan)
    return name[:1].lower() + name[1:]


def _mark_differences(left: TunePlan, right: TunePlan, one: str, other: str) -> list[str]:
    on_left = {mark.place.note_id: mark for mark in left.marks}
    on_right = {mark.place.note_id: mark for mark in right.marks}
    shared = [(on_left[key], on_right[key]) for key in on_left if key in on_right]
    lines = _changed(shared, one, other)
    lines += _alone([on_left[key] for key in on_left if key not in on_right], one)
    lines += _alone([on_right[key] for key in on_right if key not in on_left], other)
    return lines


def _changed(shared: Sequence[tuple[Mark, Mark]], one: str, other: str) -> list[str]:
    """Notes that are marked on both occasions, and not alike."""
    groups: dict[str, list[Mark]] = {}
    for here, there in shared:
        if (here.move, round(here.ms)) != (there.move, round(there.ms)):
            groups.setdefault(_change_words(here, there, one, other), []).append(here)
    return [f"{_where(marks)}: {words}" for words, marks in groups.items()]


def _change_words(here: Mark, there: Mark, one: str, other: str) -> str:
    sizes = abs(round(here.ms)), abs(round(there.ms))
    if done_words(here) == done_words(there):
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
