"""What does the page of one tune at one event say? The marks on the staff, each explained."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from api.display.choices import KINDS, Choices, kind_of, kind_words
from api.display.differences import occasion_words, what_differs
from api.display.drawing.bar import BarView, bar_view
from api.display.marks import done_words, flam_words, why_words
from api.display.music import MusicView, music_view
from api.display.pages.note_here import NoteHereView, note_words, place_words
from api.display.pages.own_bars_on_screen import OwnBarsView, own_bars_view
from api.display.planned import PlannedEntry, PlannedEvent, setting_words
from api.display.planned_tune import PlannedTuneView, planned_tune_view, size_words
from api.display.signs import move_sign
from api.display.words import (
    LAYER_WORDS,
    counted,
    join_words,
    lifted_words,
    sentence,
    sentence_start,
)
from planner.engraving.signs import MEANINGS
from planner.event.event import Occasion, Sort
from planner.licence.licence import Level
from planner.marks.marks import Mark, Move, Verdict
from planner.marks.outline_marks import beats_of_outline
from planner.music.tune import NotePlace
from planner.plan import TunePlan

Legend = tuple[tuple[str, str, str], ...]
"""Each sign that is used: its drawing, its word, its meaning."""


@dataclass(frozen=True, slots=True)
class MarkHereView:
    """One mark at one place: what it is, what is predicted, and the place as ``1/3/0/2``.

    ``lock`` is the move and the size to keep it by hand as it is; None where that has been done.
    """

    note_id: str
    place: str
    sign: str
    where: str
    what: str
    why: str
    size: str
    heard: str
    made: str
    flam: str
    verdict: str
    agreement: str
    lock: tuple[str, str] | None


@dataclass(frozen=True, slots=True)
class HandMarkView:
    """A person's word on a note: what was set, and its number, to take it back."""

    number: str
    words: str


@dataclass(frozen=True, slots=True)
class LookView:
    """The tune looked at on another occasion; nothing of the event changes by looking."""

    name: str
    layers: tuple[tuple[str, str, str], ...]
    differences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TuneAtEventView:
    """One tune at one event.

    ``can_undo`` is True when somebody has said something of a note; ``strain`` says in numbers how
    far marks by hand bend the time, and is empty when there are none; ``kept`` tells of those from
    when the event was another occasion. ``look`` is there while the
    plan, music and marks are those of another occasion.
    """

    address: str
    event_address: str
    event: str
    occasion: str
    kind: str
    key: str
    version: str
    plan: PlannedTuneView
    music: MusicView
    marks: tuple[MarkHereView, ...]
    legend: Legend
    by_hand: tuple[HandMarkView, ...]
    notes: Choices
    note: NoteHereView | None
    can_undo: bool
    kept: str
    strain: str
    kinds: Choices
    look: LookView | None
    lifted: str
    lift_layers: tuple[tuple[str, str], ...]
    levels: Choices
    bar: BarView | None
    own_bars: OwnBarsView


@dataclass(frozen=True, slots=True)
class HandWord:
    """A person's word on a note, as kept: ``move`` empty leaves the note alone."""

    number: int
    part: int
    bar: int
    ending: int
    index: int
    move: str
    ms: float | None
    set_by: str


def tune_at_event_view(
    planned: PlannedEvent,
    each: PlannedEntry,
    version: int,
    by_hand: Sequence[HandWord],
    *,
    can_undo: bool = False,
    kept: Sequence[tuple[Occasion, Sort, int]] = (),
    note: NoteHereView | None = None,
    looked_at: TunePlan | None = None,
) -> TuneAtEventView:
    """One tune at one event, its marks in the music and in words.

    ``looked_at`` is its plan on another occasion, to be shown in the place of the event's own.
    """
    plan, key = looked_at or each.plan, each.entry.tune_key
    event_address = f"/events/{planned.event.key}"
    return TuneAtEventView(
        address=f"{event_address}/tunes/{key}",
        event_address=event_address,
        event=planned.event.name,
        occasion=setting_words(planned.event.setting),
        kind=kind_of(planned.event.setting),
        key=key,
        version=str(version),
        plan=planned_tune_view(plan, each.entry, event_address),
        music=music_view(plan.tune, plan.marks),
        marks=tuple(mark_here(mark) for mark in plan.marks),
        legend=legend_of(plan.marks),
        by_hand=tuple(_by_hand(word) for word in by_hand),
        notes=note_choices(plan),
        note=note,
        can_undo=can_undo,
        kept=_kept_words(kept),
        strain=strain_words(plan) if by_hand else "",
        kinds=KINDS,
        look=look_view(each.plan, looked_at) if looked_at else None,
        lifted=lifted_words(plan.licence),
        lift_layers=tuple(LAYER_WORDS.items()),
        levels=(("", "as the occasion has it"), *((str(level), str(level)) for level in Level)),
        bar=bar_view(plan, note.place if note else ""),
        own_bars=own_bars_view(each),
    )


def legend_of(marks: Sequence[Mark]) -> Legend:
    """The signs of these marks, each once."""
    used = {mark.move for mark in marks}
    return tuple(
        (move_sign(move), move.value, sentence(MEANINGS[move])) for move in Move if move in used
    )


def look_view(here: TunePlan, there: TunePlan) -> LookView:
    """What changes when the tune is played on another occasion."""
    layers, differences = what_differs(here, there)
    return LookView(occasion_words(there), layers, differences)


def strain_words(plan: TunePlan) -> str:
    """How far the plan bends the written time, in numbers."""
    strain = plan.strain
    notes = f"{strain.share_off_written:.0%} of the notes are off their written length"
    if strain.worst_bar is None:
        return sentence(f"With the marks by hand {notes}; the beats of every bar stay even")
    part, bar, _ = strain.worst_bar
    worst = f"{strain.worst_bar_percent:.1f} % of a beat, in part {part}, bar {bar}"
    return sentence(f"With the marks by hand {notes}; the beats scatter by at most {worst}")


def _kept_words(kept: Sequence[tuple[Occasion, Sort, int]]) -> str:
    """What was set by hand when the event was another occasion: how much, and for which."""
    said = join_words(
        [
            f"{counted(count, 'note')} for {kind_words(occasion, sort)}"
            for occasion, sort, count in kept
        ]
    )
    before = "what was set by hand before is kept and comes back with its occasion"
    return sentence(sentence_start(f"{before}: {said}")) if said else ""


def mark_here(mark: Mark) -> MarkHereView:
    """One mark with everything that is predicted for it."""
    return MarkHereView(
        note_id=mark.place.note_id,
        place=place_words(mark.place),
        sign=move_sign(mark.move),
        where=sentence_start(str(mark.place.address)),
        what=sentence_start(done_words(mark)),
        why=sentence(sentence_start(why_words(mark))) if why_words(mark) else "",
        size=f"{size_words(mark)}, {abs(mark.beat_fraction):.1%} of a beat",
        heard=mark.audibility.word,
        made=mark.producible.word,
        flam="" if mark.drums is Verdict.STRICT else sentence(sentence_start(flam_words(mark))),
        verdict=str(mark.drums),
        agreement="" if str(mark.agreement) == "not needed" else str(mark.agreement),
        lock=None if mark.by_hand else (mark.move.value, f"{mark.ms:.1f}"),
    )


def note_choices(plan: TunePlan) -> Choices:
    """Every note of a tune by its address, to choose one; else every beat."""
    return tuple((place_words(place), note_words(place)) for place in places_of(plan))


def places_of(plan: TunePlan) -> tuple[NotePlace, ...]:
    """Where a mark can be set by hand: on every note but the pick-ups, else on every beat."""
    if not plan.tune.has_notes:
        return tuple(beats_of_outline(plan.tune))
    return tuple(note.place for note in plan.analysis.notes if note.place.address.bar)


def _by_hand(word: HandWord) -> HandMarkView:
    ending = f", ending {word.ending}" if word.ending else ""
    where = f"Part {word.part}, bar {word.bar}{ending}, note {word.index + 1}"
    what = word.move or "left alone"
    size = f" by {abs(word.ms):g} ms" if word.move and word.ms else ""
    by = f", said {word.set_by}" if word.set_by else ""
    return HandMarkView(str(word.number), f"{where}: {what}{size}{by}.")
