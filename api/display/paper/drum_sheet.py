"""What does the drum sergeant read? Every tune as a strip of bars: where it is strict, where not.

Addresses are those of the pipers' sheet: part, bar, beat.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from api.display.marks import (
    MarkGroup,
    done_words,
    drum_words,
    flam_words,
    group_marks,
    struck_address,
)
from api.display.own_bars import own_bar_facts
from api.display.planned import AgreementMade, PlannedEntry, PlannedEvent, setting_words
from api.display.words import (
    TEMPO_WORDS,
    addresses_in_words,
    beats_a_minute,
    counted,
    day_words,
    join_words,
    lifted_words,
    metre_words,
    number_words,
    parts_played,
    sentence,
    sentence_start,
    shift_words,
    tempo_words,
    times_through,
    version_words,
)
from planner.event.event import Set, Sort
from planner.marks.drum_map import DrumBarVerdict
from planner.marks.mark_tune import CHANGED
from planner.marks.marks import Agreement, Verdict
from planner.music.drums import DrumScore, DrumVoice
from planner.music.tempo import Metre
from planner.music.tune import beat_text
from planner.plan import TunePlan

BARS_A_STRIP = 10
DRUMMERS_WARNINGS = {"no_drum_score", "no_notes"}
VERDICT_MEANINGS = {
    Verdict.STRICT: "nothing that moves meets a stroke: play the score as written.",
    Verdict.WATCH: "a pipe note moves near a stroke: listen, and leave room.",
    Verdict.FOLLOW: "by agreement the stroke moves with the pipes, as said in the bar.",
    Verdict.CONFLICT: "a note would move against a stroke: change it or agree on it first.",
}


@dataclass(frozen=True, slots=True)
class BarView:
    """One bar of a strip: its number as printed, its verdict, and what moves in it.

    ``score`` is what the drum score has there that a drummer looks for: rest, or unison.
    """

    number: str
    verdict: str
    moves: tuple[str, ...] = ()
    score: str = ""


@dataclass(frozen=True, slots=True)
class StripView:
    """The bars of one part, or of one stretch of a long part."""

    label: str
    bars: tuple[BarView, ...]


@dataclass(frozen=True, slots=True)
class DrumTuneView:
    """One tune for the drummers. ``asks`` are the marks that concern them, in full words."""

    number: str
    title: str
    tempo: str
    tempo_unit: str
    tempo_word: str
    facts: str
    strips: tuple[StripView, ...]
    asks: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class DrumSheetView:
    """The drum sheet of an event; ``since_agreed`` is what the drums must hear of first."""

    event: str
    occasion: str
    day: str
    verdict: str
    tunes: tuple[DrumTuneView, ...]
    version: str
    since_agreed: tuple[str, ...] = ()
    changes: tuple[str, ...] = ()
    legend: tuple[tuple[str, str], ...] = ()
    notes: tuple[str, ...] = ()


def drum_sheet_view(planned: PlannedEvent) -> DrumSheetView:
    """The drum sheet of an event, its tunes in playing order."""
    event = planned.event
    plans = [each.plan for each_set in planned.sets for each in each_set.entries]
    tunes = [
        drum_tune_view(each, each_set.set, planned.agreements)
        for each_set in planned.sets
        for each in each_set.entries
    ]
    everywhere = _said_of_all(tunes)
    return DrumSheetView(
        event=event.name,
        occasion=sentence_start(setting_words(event.setting)),
        day=day_words(event.day),
        verdict=verdict_words(plans),
        tunes=tuple(
            replace(tune, notes=tuple(note for note in tune.notes if note not in everywhere))
            for tune in tunes
        ),
        notes=everywhere,
        version=version_words(event.version, planned.made_at),
        since_agreed=since_agreed(planned),
        changes=planned.changes,
        legend=tuple((str(verdict), words) for verdict, words in VERDICT_MEANINGS.items()),
    )


def since_agreed(planned: PlannedEvent) -> tuple[str, ...]:
    """What has changed since the drums gave their word, tune by tune, each tune once."""
    plans = {each.entry.tune_key: each.plan for played in planned.sets for each in played.entries}
    return tuple(
        sentence(f"{plan.tune.title}, {finding}")
        for plan in plans.values()
        for finding in plan.warnings
        if finding.code == CHANGED
    )


def _said_of_all(tunes: Sequence[DrumTuneView]) -> tuple[str, ...]:
    """What holds for every tune is said once."""
    first = tunes[0].notes if tunes else ()
    return tuple(note for note in first if all(note in tune.notes for tune in tunes))


def drum_tune_view(
    planned: PlannedEntry, played_in: Set, agreements: Sequence[AgreementMade] = ()
) -> DrumTuneView:
    """One tune as the drummers need it; ``agreements`` say who settled what, earliest first."""
    plan, entry = planned.plan, planned.entry
    pointing = "round" if plan.licence.is_round else "pointed"
    idiom = plan.analysis.idiom
    facts = (
        idiom if pointing in idiom else f"{idiom}, {pointing}",
        metre_words(plan.tune.metre),
        f"tonal centre {plan.analysis.tonal_centre or 'not on file'}",
        parts_played(entry, len(plan.tune.parts)),
        times_through(entry.times_through),
        *own_bar_facts(planned),
        *_standard(planned),
    )
    return DrumTuneView(
        number=f"Set {played_in.number}",
        title=plan.tune.title,
        tempo=tempo_words(plan.analysis.tempo.bpm),
        tempo_unit=beats_a_minute([plan.tune.metre]),
        tempo_word=TEMPO_WORDS[plan.drums.tempo],
        facts=" · ".join(facts),
        strips=(*_strips(plan, planned.drum_score), *_link_strips(planned.link)),
        asks=_asks(planned, agreements),
        notes=_notes(plan),
    )


def _standard(planned: PlannedEntry) -> tuple[str, ...]:
    """Which drum score every band knows, where bands are massed."""
    is_massed = planned.plan.licence.setting.sort is Sort.MASSED
    said = planned.standard_setting
    return (f"standard setting: {said}",) if is_massed and said else ()


def verdict_words(plans: Sequence[TunePlan]) -> str:
    """The whole event for the drums in one line."""
    groups = [group.first for plan in plans for group in group_marks(plan.marks, False)]
    conflicts = sum(mark.drums is Verdict.CONFLICT for mark in groups)
    if conflicts:
        return f"Not ready: {counted(conflicts, 'conflict')} to settle first."
    follows = [mark for mark in groups if mark.drums is Verdict.FOLLOW]
    if not follows:
        return "Strict tempo throughout."
    waiting = sum(mark.agreement is Agreement.TO_BE_AGREED for mark in follows)
    still = f", {number_words(waiting)} still to be agreed" if waiting else ""
    return f"Strict tempo but for {counted(len(follows), 'mark')} to follow{still}."


def _strips(plan: TunePlan, score: DrumScore | None = None) -> tuple[StripView, ...]:
    strips = []
    for number, found in groupby(plan.drums.bars, key=lambda bar: bar.part):
        bars = [
            replace(_bar(each), score=_score_words(score, each, plan.tune.metre)) for each in found
        ]
        for start in range(0, len(bars), BARS_A_STRIP):
            label = f"Part {number}" if start == 0 else ""
            strips.append(StripView(label, tuple(bars[start : start + BARS_A_STRIP])))
    return tuple(strips)


def _link_strips(link: TunePlan | None) -> tuple[StripView, ...]:
    """The bars that link the tune to the next one, as one more part."""
    return tuple(replace(strip, label="Link") for strip in (_strips(link) if link else ()))


def _score_words(score: DrumScore | None, at: DrumBarVerdict, metre: Metre) -> str:
    """``rest`` where no voice plays, ``unison, beats 1 and 2`` where all strike together."""
    bars = score.bars_at((at.part, at.bar, at.ending), DrumVoice) if score else ()
    if not bars:
        return ""
    if not any(bar.strokes or bar.rolls for bar in bars):
        return "rest"
    beats = {int(place / metre.beat_length) + 1 for bar in bars for place in bar.unison}
    named = join_words([str(beat) for beat in sorted(beats)])
    return f"unison, beat{'s' if len(beats) > 1 else ''} {named}" if beats else ""


def _bar(verdict: DrumBarVerdict) -> BarView:
    ending = f", ending {verdict.ending}" if verdict.ending else ""
    moves: tuple[str, ...] = ()
    if verdict.verdict is not Verdict.STRICT:
        moves = tuple(
            line
            for mark in verdict.moves
            if mark.drums is not Verdict.STRICT
            for line in (f"beat {beat_text(struck_address(mark).beat)}", shift_words(mark.ms))
        )
    pickup = "" if verdict.bar else ", pick-up"
    return BarView(f"{verdict.bar}{pickup}{ending}", str(verdict.verdict), moves)


def _asks(planned: PlannedEntry, agreements: Sequence[AgreementMade]) -> tuple[str, ...]:
    made = [each for each in agreements if each.tune_key == planned.entry.tune_key]
    return tuple(
        _ask(group, made)
        for group in group_marks(planned.plan.marks, with_reasons=False)
        if group.first.drums is not Verdict.STRICT
    )


def _ask(group: MarkGroup, made: Sequence[AgreementMade]) -> str:
    """One line, such as ``Part 1, bar 3, beat 2: follow, agreed: 35 ms later. Hold D, C pays``."""
    mark = group.first
    where = addresses_in_words([struck_address(each) for each in group.marks])
    asked = f"{sentence_start(where)}: {drum_words(mark)}. {sentence(done_words(mark))}"
    asked += f" {sentence(sentence_start(flam_words(mark)))}"
    return asked + _settled_words(group, made)


def _settled_words(group: MarkGroup, made: Sequence[AgreementMade]) -> str:
    """Who settled it and when; nothing while it is open."""
    if group.first.agreement not in (Agreement.AGREED, Agreement.REFUSED):
        return ""
    addresses = {mark.place.address for mark in group.marks}
    # What was said of a bar as printed holds for its first ending, where a set gives it one.
    addresses |= {replace(at, ending=0) for at in addresses if at.ending == 1}
    said = [each for each in made if each.address in addresses]
    return f" {sentence(f'{group.first.agreement}: {_who_and_when(said[-1])}')}" if said else ""


def _notes(plan: TunePlan) -> tuple[str, ...]:
    told = [sentence(each.text) for each in plan.warnings if each.code in DRUMMERS_WARNINGS]
    return tuple(filter(None, (lifted_words(plan.licence), *told)))


def _who_and_when(made: AgreementMade) -> str:
    when = f", {made.when.day} {made.when:%B %Y}" if made.when else ""
    return f"{made.who}{when}"
