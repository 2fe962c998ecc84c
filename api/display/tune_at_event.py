"""What does the page of one tune at one event say? The marks on the staff, each explained."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from api.display.choices import Choices
from api.display.marks import done_words, why_words
from api.display.music import MusicView, music_view
from api.display.planned import PlannedEntry, PlannedEvent, setting_words
from api.display.planned_tune import LAYER_WORDS, PlannedTuneView, planned_tune_view, size_words
from api.display.signs import move_sign
from api.display.words import sentence, sentence_start
from planner.engraving.signs import MEANINGS
from planner.licence.licence import Level
from planner.marks.marks import Mark, Move
from planner.marks.outline_marks import beats_of_outline
from planner.marks.what_it_takes import WhatItTakes
from planner.music.tune import NotePlace
from planner.plan import TunePlan

Legend = tuple[tuple[str, str, str], ...]
"""Each sign that is used: its drawing, its word, its meaning."""

MOVES: Choices = tuple((move.value, move.value) for move in Move)


@dataclass(frozen=True, slots=True)
class MarkHereView:
    """One mark at one place: what it is, what is predicted, and the place as ``1/3/0/2``."""

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


@dataclass(frozen=True, slots=True)
class HandMarkView:
    """A person's word on a note: what was set, and its number, to take it back."""

    number: str
    words: str


@dataclass(frozen=True, slots=True)
class AskedView:
    """What stands in the way of a move that somebody asked for, in two sentences."""

    what: str
    why: str
    by_hand: str


@dataclass(frozen=True, slots=True)
class TuneAtEventView:
    """One tune at one event.

    ``last`` is the number of the latest mark by hand, to take back; ``strain`` says in numbers how
    far marks by hand bend the time. Both are empty when nothing was set by hand.
    """

    address: str
    event_address: str
    event: str
    occasion: str
    key: str
    version: str
    plan: PlannedTuneView
    music: MusicView
    marks: tuple[MarkHereView, ...]
    legend: Legend
    by_hand: tuple[HandMarkView, ...]
    notes: Choices
    moves: Choices
    asked_moves: Choices
    last: str
    strain: str
    asked: AskedView | None
    lifted: str
    lift_layers: tuple[tuple[str, str], ...]
    levels: Choices


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
    is_last: bool = False


def tune_at_event_view(
    planned: PlannedEvent,
    each: PlannedEntry,
    version: int,
    by_hand: Sequence[HandWord],
    asked: AskedView | None = None,
    lifted_on: datetime | None = None,
) -> TuneAtEventView:
    """One tune at one event, its marks in the music and in words."""
    plan, key = each.plan, each.entry.tune_key
    event_address = f"/events/{planned.event.key}"
    return TuneAtEventView(
        address=f"{event_address}/tunes/{key}",
        event_address=event_address,
        event=planned.event.name,
        occasion=setting_words(planned.event.setting),
        key=key,
        version=str(version),
        plan=planned_tune_view(plan, each.entry, event_address),
        music=music_view(plan.tune, plan.marks),
        marks=tuple(mark_here(mark) for mark in plan.marks),
        legend=legend_of(plan.marks),
        by_hand=tuple(_by_hand(word) for word in by_hand),
        notes=note_choices(plan),
        moves=(("", "leave the note alone"), *MOVES),
        asked_moves=MOVES,
        last=next((str(word.number) for word in by_hand if word.is_last), ""),
        strain=strain_words(plan) if by_hand else "",
        asked=asked,
        lifted=lifted_words(plan.licence.lifted_by, lifted_on),
        lift_layers=tuple(LAYER_WORDS.items()),
        levels=(("", "as the occasion has it"), *((str(level), str(level)) for level in Level)),
    )


def legend_of(marks: Sequence[Mark]) -> Legend:
    """The signs of these marks, each once."""
    used = {mark.move for mark in marks}
    return tuple(
        (move_sign(move), move.value, sentence(MEANINGS[move])) for move in Move if move in used
    )


def asked_view(plan: TunePlan, note_id: str, move: Move, told: WhatItTakes) -> AskedView:
    """The answer to somebody who asked for a move on a note."""
    place = next(n.place for n in plan.analysis.notes if n.place.note_id == note_id)
    return AskedView(
        what=sentence(f"{sentence_start(str(place.address))}, {place.note}: {move}"),
        why=sentence(sentence_start(told.why)),
        by_hand=sentence(sentence_start(told.by_hand)),
    )


def lifted_words(who: str, when: datetime | None) -> str:
    """Who lifted the ceiling, and when; empty text when nobody did."""
    day = f", {when.day} {when:%B %Y}" if when else ""
    return sentence(f"Lifted above the occasion's ceiling by {who}{day}") if who else ""


def strain_words(plan: TunePlan) -> str:
    """How far the plan bends the written time, in numbers."""
    strain = plan.strain
    notes = f"{strain.share_off_written:.0%} of the notes are off their written length"
    if strain.worst_bar is None:
        return sentence(f"With the marks by hand {notes}; the beats of every bar stay even")
    part, bar, _ = strain.worst_bar
    worst = f"{strain.worst_bar_percent:.1f} % of a beat, in part {part}, bar {bar}"
    return sentence(f"With the marks by hand {notes}; the beats scatter by at most {worst}")


def mark_here(mark: Mark) -> MarkHereView:
    """One mark with everything that is predicted for it."""
    flams, without = round(mark.clash.p_percent), round(mark.clash.p_zero_percent)
    flam = f"A flam {flams} times in a hundred, {without} without the mark."
    return MarkHereView(
        note_id=mark.place.note_id,
        place=_place(mark.place),
        sign=move_sign(mark.move),
        where=sentence_start(str(mark.place.address)),
        what=sentence_start(done_words(mark)),
        why=sentence(sentence_start(why_words(mark))) if why_words(mark) else "",
        size=f"{size_words(mark)}, {abs(mark.beat_fraction):.1%} of a beat",
        heard=mark.audibility.word,
        made=mark.producible.word,
        flam=flam if flams != without else "",
        verdict=str(mark.drums),
        agreement="" if str(mark.agreement) == "not needed" else str(mark.agreement),
    )


def note_choices(plan: TunePlan) -> Choices:
    """Every note of a tune by its address, for the form of a mark by hand; else every beat."""
    if not plan.tune.has_notes:
        beats = beats_of_outline(plan.tune)
        return tuple((_place(beat), sentence_start(str(beat.address))) for beat in beats)
    return tuple(
        (_place(note.place), f"{sentence_start(str(note.place.address))}: {note.place.note}")
        for note in plan.analysis.notes
        if note.place.address.bar
    )


def _place(place: NotePlace) -> str:
    at = place.address
    return f"{at.part}/{at.bar}/{at.ending}/{place.index}"


def _by_hand(word: HandWord) -> HandMarkView:
    ending = f", ending {word.ending}" if word.ending else ""
    where = f"Part {word.part}, bar {word.bar}{ending}, note {word.index + 1}"
    what = word.move or "left alone"
    size = f" by {abs(word.ms):g} ms" if word.move and word.ms else ""
    by = f", said {word.set_by}" if word.set_by else ""
    return HandMarkView(str(word.number), f"{where}: {what}{size}{by}.")
