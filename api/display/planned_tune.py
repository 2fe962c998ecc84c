"""How is one tune played at one event, in words? Shared by every page that shows a plan."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from api.display.marks import (
    MarkGroup,
    done_words,
    drum_words,
    group_left_out,
    group_marks,
    why_words,
)
from api.display.practice import PracticeView, practice_view
from api.display.signs import move_sign
from api.display.words import (
    TEMPO_WORDS,
    beats_a_minute,
    counted,
    join_words,
    layer_words,
    metre_words,
    number_words,
    parts_played,
    sentence,
    sentence_start,
    shift_words,
    start_words,
    stop_words,
    tempo_words,
    times_through,
)
from planner.event.event import Entry
from planner.findings import Finding, Reason
from planner.licence.licence import Licence
from planner.marks.drum_map import DrumTempo
from planner.marks.marks import Agreement, Mark, Move, Verdict
from planner.plan import TunePlan

# What is said by its own place on the page, or is no news there?
SAID_ONCE = {"no_drum_score", "rung_assumed"}
SAID_ELSEWHERE = {"no_mark", "no_notes", "rung_work", "unnamed_movement"} | SAID_ONCE


@dataclass(frozen=True, slots=True)
class ReasonView:
    """Why: one sentence, and the rule it comes from with its value and source."""

    text: str
    rule: str
    value: str = ""
    source: str = ""


@dataclass(frozen=True, slots=True)
class FindingView:
    """One thing a person should know, and where it can be mended."""

    gravity: str
    text: str
    where: str = ""
    address: str = ""
    remedy: str = ""


@dataclass(frozen=True, slots=True)
class MarkLineView:
    """One mark, or the same in several places; ``sign`` is a drawing, ``notes`` are note ids."""

    anchor: str
    sign: str
    where: str
    what: str
    why: str
    size: str
    heard: str
    verdict: str
    asks: str
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class DrumsView:
    """What the tune asks of the drums as a whole, in one sentence."""

    word: str
    sentence: str


@dataclass(frozen=True, slots=True)
class PlannedTuneView:
    """One tune of an event. ``lines`` are what the card says of start, stop and join."""

    title: str
    address: str
    tune_address: str
    facts: str
    tempo: str
    tempo_unit: str
    layers: tuple[tuple[str, str], ...]
    drums: DrumsView
    reasons: tuple[ReasonView, ...]
    marks: tuple[MarkLineView, ...]
    marks_said: str
    no_marks: str
    lines: tuple[tuple[str, str], ...] = ()
    left_out: tuple[tuple[str, str], ...] = ()
    warnings: tuple[FindingView, ...] = ()
    practice: PracticeView | None = None


def planned_tune_view(
    plan: TunePlan,
    entry: Entry,
    event_address: str = "",
    outs: str = "",
    harmony: str = "",
    anchor: str = "tune",
    own_bars: tuple[tuple[str, str], ...] = (),
) -> PlannedTuneView:
    """One tune as it is played on this occasion; ``outs`` and ``harmony`` are names.

    ``anchor`` starts the ids of its marks, so that a tune can stand on a page twice.
    """
    tune = plan.tune
    key = entry.tune_key
    return PlannedTuneView(
        title=tune.title,
        address=f"{event_address}/tunes/{key}" if event_address else f"/tunes/{key}",
        tune_address=f"/tunes/{key}",
        facts=facts_words(plan, entry),
        tempo=tempo_words(plan.analysis.tempo.bpm),
        tempo_unit=beats_a_minute([tune.metre]),
        layers=layer_words(plan.licence.layers),
        drums=drums_view(plan),
        reasons=reason_views(plan.licence),
        marks=mark_lines(plan.marks, anchor),
        marks_said=marks_said(plan.marks),
        no_marks=no_mark_words(plan),
        lines=_lines(entry, outs, harmony, own_bars),
        left_out=group_left_out(plan.left_out),
        warnings=warning_views(plan.warnings),
        practice=practice_view(plan.work),
    )


def facts_words(plan: TunePlan, entry: Entry | None = None) -> str:
    """Idiom, metre, parts, times through and tonal centre in one line."""
    tune = plan.tune
    facts = [plan.analysis.idiom, metre_words(tune.metre)]
    facts.append(parts_played(entry or Entry(""), len(tune.parts)))
    if entry is not None:
        facts.append(times_through(entry.times_through))
    if plan.analysis.tonal_centre:
        facts.append(f"tonal centre {plan.analysis.tonal_centre}")
    return ", ".join(facts)


def drums_view(plan: TunePlan) -> DrumsView:
    """Strict or not, and in one sentence what that means here."""
    tempo = plan.drums.tempo
    return DrumsView(str(TEMPO_WORDS[tempo]), sentence(_drums_sentence(plan, tempo)))


def _drums_sentence(plan: TunePlan, tempo: DrumTempo) -> str:
    groups = [group.first for group in group_marks(plan.marks)]
    if any(mark.drums is Verdict.CONFLICT for mark in groups):
        return "a mark runs against the strokes: change it, or agree on it first"
    if tempo is DrumTempo.NONE:
        return "no drums play"
    if tempo is DrumTempo.STRICT:
        near = any(mark.drums is Verdict.WATCH for mark in groups)
        listen = "; listen where a pipe note moves near a stroke" if near else ""
        return f"no stroke moves, the score is played as written{listen}"
    waiting = any(mark.agreement is Agreement.TO_BE_AGREED for mark in groups)
    state = "still to be agreed with the leading drummer" if waiting else "as agreed"
    return f"strict but where the strokes follow the pipes, {state}"


def reason_views(licence: Licence) -> tuple[ReasonView, ...]:
    """Every reason of a licence, each sentence once."""
    return tuple(dict.fromkeys(reason_view(reason) for reason in licence.reasons))


def reason_view(reason: Reason) -> ReasonView:
    """One reason in words."""
    return ReasonView(sentence(reason.text), reason.rule, reason.value, reason.source)


def marks_said(marks: Iterable[Mark]) -> str:
    """How many marks, and what they ask of the drums: ``Two marks: one strict, one follow``."""
    verdicts = [group.first.drums for group in group_marks(tuple(marks))]
    counts = [(verdicts.count(each), str(each)) for each in Verdict]
    said = join_words([f"{number_words(count)} {word}" for count, word in counts if count])
    return f"{sentence_start(counted(len(verdicts), 'mark'))}: {said}" if verdicts else ""


def mark_lines(
    marks: Iterable[Mark], prefix: str, with_reasons: bool = True
) -> tuple[MarkLineView, ...]:
    """The marks in playing order, the same mark in several places once."""
    groups = group_marks(tuple(marks), with_reasons)
    return tuple(
        mark_line(group, f"{prefix}-mark-{number}") for number, group in enumerate(groups, start=1)
    )


def mark_line(group: MarkGroup, anchor: str) -> MarkLineView:
    """One mark in words."""
    mark = group.first
    return MarkLineView(
        anchor=anchor,
        sign=move_sign(mark.move),
        where=sentence_start(group.where),
        what=sentence_start(done_words(mark)),
        why=sentence(why_words(mark)) if why_words(mark) else "",
        size=size_words(mark),
        heard=f"{mark.audibility.word}; {mark.producible.word}",
        verdict=str(mark.drums),
        asks=drum_words(mark).removeprefix(str(mark.drums)).lstrip(",: "),
        notes=tuple(each.place.note_id for each in group.marks),
    )


def size_words(mark: Mark) -> str:
    """How much: a note played tight gains, every other move shifts an onset."""
    if mark.move is Move.TIGHTEN:
        return f"{abs(round(mark.ms))} ms gained"
    return shift_words(mark.ms)


def no_mark_words(plan: TunePlan) -> str:
    """Why a plan has no mark; empty text when it has."""
    if plan.marks:
        return ""
    codes = {"no_mark", "no_notes", "rung_work"}
    said = [finding.text for finding in plan.warnings if finding.code in codes]
    return sentence(said[0]) if said else "No mark is right here: play it as written."


def warning_views(findings: Iterable[Finding]) -> tuple[FindingView, ...]:
    """What a reader should know before trusting the plan."""
    told = (each for each in findings if each.code not in SAID_ELSEWHERE)
    return tuple(dict.fromkeys(finding_view(each) for each in told))


def finding_view(finding: Finding, address: str = "", remedy: str = "") -> FindingView:
    """One finding in words."""
    text = sentence(finding.text)
    return FindingView(str(finding.gravity), text, finding.where, address, remedy)


def _lines(
    entry: Entry, outs: str, harmony: str, own_bars: tuple[tuple[str, str], ...]
) -> tuple[tuple[str, str], ...]:
    said = (
        ("Start", start_words(entry)),
        ("Stop", stop_words(entry)),
        *own_bars,
        ("Join", entry.join),
        ("Out", outs),
        ("Harmony", harmony),
    )
    return tuple((name, words) for name, words in said if words)
