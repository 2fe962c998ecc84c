"""What does the phrased music of an event say?

The tune as engraved with this occasion's marks, and in words: how freely it may be played and why,
what each mark asks of the players, and what was left off.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from api.display.marks import (
    PAYING,
    MarkGroup,
    done_words,
    drum_words,
    group_left_out,
    group_marks,
    why_words,
)
from api.display.own_bars import link_where, own_bar_lines
from api.display.planned import PlannedEntry, PlannedEvent, setting_words
from api.display.practice import PracticeView, practice_view
from api.display.words import (
    beats_a_minute,
    counted,
    layer_lines,
    lifted_words,
    made_words,
    metre_words,
    parts_played,
    played_words,
    sentence,
    sentence_start,
    tempo_words,
    times_through,
    version_words,
)
from planner.engraving.signs import MEANINGS
from planner.event.event import Entry
from planner.findings import Reason
from planner.marks.marks import Mark, Move
from planner.music.tune import Credits, Tune
from planner.plan import TunePlan

NO_PERMISSION = (
    "No permission is on file for copying this setting: ask its owner, local law decides."
)
NO_CREDITS = "composer not on file"

# What is said elsewhere on the sheet, or is no business of the players?
SILENT_WARNINGS = {"no_mark", "no_notes", "unnamed_movement"}


@dataclass(frozen=True, slots=True)
class PictureView:
    """A picture written into the sheet: its address and its size on paper in millimetres."""

    address: str
    width_mm: float
    height_mm: float
    label: str = ""

    @property
    def is_tall(self) -> bool:
        """True for what is higher than wide: such a scan wants a page of its own."""
        return self.height_mm > self.width_mm


@dataclass(frozen=True, slots=True)
class LegendView:
    """One sign and its one meaning; the picture is the same as on the staff."""

    sign: PictureView
    word: str
    meaning: str


@dataclass(frozen=True, slots=True)
class MarkView:
    """One mark in words: where, what, what it asks of the drums, and why."""

    address: str
    what: str
    drums: str
    why: str


@dataclass(frozen=True, slots=True)
class PhrasedTuneView:
    """One tune. One without notes has ``scans`` or an ``outline``, and ``no_notes`` says so.

    ``own_bars`` says what is played that is not printed, ``link`` is the music to the next tune,
    ``harmony`` are the further pipe voices, where they were asked for.
    """

    title: str
    facts: str
    layers: tuple[tuple[str, str], ...]
    lifted: str = ""
    set_name: str = ""
    occasion: str = ""
    credits: tuple[str, ...] = ()
    reasons: tuple[str, ...] = ()
    systems: tuple[PictureView, ...] = ()
    legend: tuple[LegendView, ...] = ()
    paying: str = ""
    marks: tuple[MarkView, ...] = ()
    no_marks: str = ""
    practice: PracticeView | None = None
    left_out: tuple[tuple[str, str], ...] = ()
    no_notes: str = ""
    scans: tuple[PictureView, ...] = ()
    outline: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    own_bars: tuple[tuple[str, str], ...] = ()
    link: tuple[PictureView, ...] = ()
    harmony: tuple[PictureView, ...] = ()


@dataclass(frozen=True, slots=True)
class PhrasedMusicView:
    """The phrased music of an event, or of one tune on an occasion."""

    heading: str
    occasion: str
    tunes: tuple[PhrasedTuneView, ...]
    version: str


@dataclass(frozen=True, slots=True)
class TunePictures:
    """The pictures of one tune: its lines, its scans, and the sign of each move that is used.

    ``problem`` is the sentence of the engraver when it could not draw the tune; ``kept_as`` names
    a file kept with the tune that cannot be printed into a sheet.
    """

    systems: tuple[PictureView, ...] = ()
    signs: tuple[tuple[Move, PictureView], ...] = ()
    scans: tuple[PictureView, ...] = ()
    problem: str = ""
    kept_as: str = ""
    link: tuple[PictureView, ...] = ()
    harmony: tuple[PictureView, ...] = ()


def phrased_music_view(
    planned: PlannedEvent,
    pictures: Mapping[Entry, TunePictures],
    unpermitted: frozenset[str] = frozenset(),
) -> PhrasedMusicView:
    """The phrased music of an event; ``pictures`` by entry, since a tune may be played twice.

    ``unpermitted`` are the keys of the tunes without a note on whether they may be copied.
    """
    tunes = tuple(
        _with_permission(
            _with_own_bars(
                phrased_tune_view(each.plan, pictures[each.entry], each.entry, each_set.set.name),
                each,
                pictures[each.entry],
            ),
            each.entry.tune_key not in unpermitted,
        )
        for each_set in planned.sets
        for each in each_set.entries
    )
    event = planned.event
    return PhrasedMusicView(
        heading=event.name,
        occasion=sentence_start(setting_words(event.setting)),
        tunes=tunes,
        version=version_words(event.version, planned.made_at),
    )


def phrased_tune_sheet(
    plan: TunePlan, pictures: TunePictures, made_at: datetime
) -> PhrasedMusicView:
    """The phrased music of a single tune on an occasion, outside any event."""
    return PhrasedMusicView(
        heading=plan.tune.title,
        occasion=sentence_start(setting_words(plan.licence.setting)),
        tunes=(phrased_tune_view(plan, pictures),),
        version=made_words(made_at),
    )


def phrased_tune_view(
    plan: TunePlan, pictures: TunePictures, entry: Entry | None = None, set_name: str = ""
) -> PhrasedTuneView:
    """One tune as it is phrased on this occasion."""
    tune = plan.tune
    return PhrasedTuneView(
        title=tune.title,
        facts=_facts(plan, entry),
        set_name=set_name,
        occasion=sentence_start(setting_words(plan.licence.setting)),
        layers=layer_lines(plan.licence.layers),
        lifted=lifted_words(plan.licence),
        credits=credits_words(tune.credits),
        reasons=reason_words(plan.licence.reasons),
        systems=pictures.systems,
        harmony=pictures.harmony,
        legend=legend_of(plan.marks, pictures.signs),
        paying=PAYING if plan.marks else "",
        marks=tuple(
            _mark(group) for group in group_marks(plan.marks, with_reasons=False, by_part=False)
        ),
        no_marks=_no_marks(plan),
        practice=practice_view(plan.work),
        left_out=group_left_out(plan.left_out),
        no_notes=pictures.problem or _no_notes(tune, pictures),
        scans=pictures.scans,
        outline=_outline(tune) if not pictures.systems else (),
        warnings=_warnings(plan),
    )


def _with_own_bars(
    view: PhrasedTuneView, each: PlannedEntry, pictures: TunePictures
) -> PhrasedTuneView:
    """With the bars that only this set plays, and what is marked in its link."""
    marks = each.link.marks if each.link else ()
    groups = group_marks(marks, with_reasons=False, by_part=False)
    linked = (replace(view, address=link_where(view.address)) for view in map(_mark, groups))
    return replace(
        view,
        own_bars=own_bar_lines(each),
        link=pictures.link,
        legend=legend_of((*each.plan.marks, *marks), pictures.signs),
        paying=PAYING if marks else view.paying,
        marks=(*view.marks, *linked),
    )


def _with_permission(view: PhrasedTuneView, is_noted: bool) -> PhrasedTuneView:
    return view if is_noted else replace(view, warnings=(*view.warnings, NO_PERMISSION))


def _facts(plan: TunePlan, entry: Entry | None) -> str:
    tune, tempo = plan.tune, tempo_words(plan.analysis.tempo.bpm)
    facts = [plan.analysis.idiom, metre_words(tune.metre)]
    facts.append(f"{tempo} {beats_a_minute([tune.metre])}")
    facts.append(parts_played(entry or Entry(""), len(tune.parts)))
    if entry is not None:
        facts.append(times_through(entry.times_through))
    return " · ".join(facts)


def reason_words(reasons: Sequence[Reason]) -> tuple[str, ...]:
    """Why this much freedom, a sentence for each ground: what it says of several layers at once."""
    grounds: dict[str, list[str]] = {}
    for each in reasons:
        ground, colon, said = each.text.partition(": ")
        grounds.setdefault(ground, []).extend([said] if colon else [])
    return tuple(
        sentence(f"{ground}: {'; '.join(dict.fromkeys(said))}" if said else ground)
        for ground, said in grounds.items()
    )


def credits_words(credits: Credits) -> tuple[str, ...]:
    """Who made and wrote down a setting; where nobody is on file, that is said."""
    said = (
        (credits.composer, "{}"),
        (credits.arranger, "arranged by {}"),
        (credits.origin, "{}"),
        (credits.source, "from {}"),
        (credits.transcriber, "written down by {}"),
    )
    return tuple(words.format(who) for who, words in said if who) or (NO_CREDITS,)


def legend_of(
    marks: Sequence[Mark], signs: Sequence[tuple[Move, PictureView]]
) -> tuple[LegendView, ...]:
    """The signs that are used, each once, with its one meaning."""
    used = {mark.move for mark in marks}
    return tuple(
        LegendView(sign, str(move), sentence(MEANINGS[move]))
        for move, sign in signs
        if move in used
    )


def _mark(group: MarkGroup) -> MarkView:
    mark = group.first
    reasons = dict.fromkeys(why_words(each) for each in group.marks)
    return MarkView(
        address=sentence_start(group.where),
        what=sentence_start(done_words(mark)),
        drums=drum_words(mark),
        why=sentence("; ".join(reasons)),
    )


def _no_marks(plan: TunePlan) -> str:
    """Why the plan has no mark; nothing is said when it has."""
    codes = ("rung_work",) if not plan.licence.carries_pulse else ("no_mark",)
    said = [each.text for each in plan.warnings if each.code in codes]
    return f"No marks: {said[0]}." if said and not plan.marks else ""


def _no_notes(tune: Tune, pictures: TunePictures) -> str:
    if tune.has_notes:
        return ""
    if pictures.kept_as:
        return f"No notes on file, and {pictures.kept_as} cannot be printed: the outline only."
    return "No notes on file: " + (
        "the scan is printed." if pictures.scans else "the outline only."
    )


def _outline(tune: Tune) -> tuple[str, ...]:
    return tuple(
        f"Part {part.number}: {counted(len(part.full_bars), 'bar')}, {played_words(part.times)}"
        for part in tune.parts
    )


def _warnings(plan: TunePlan) -> tuple[str, ...]:
    told = [each for each in plan.warnings if each.code not in SILENT_WARNINGS]
    if not plan.marks:
        told = [each for each in told if each.code != "rung_work"]
    return tuple(dict.fromkeys(sentence(str(each)) for each in told))
