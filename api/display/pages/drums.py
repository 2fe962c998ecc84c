"""What does the drum sergeant's page say? Strips of bars, and what is to be agreed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from api.display.marks import (
    MarkGroup,
    done_words,
    drum_words,
    flam_words,
    group_marks,
    struck_address,
)
from api.display.paper.drum_sheet import (
    VERDICT_MEANINGS,
    StripView,
    drum_tune_view,
    since_agreed,
    verdict_words,
)
from api.display.planned import AgreementMade, PlannedEntry, PlannedEvent, PlannedSet, setting_words
from api.display.signs import move_sign
from api.display.words import addresses_in_words, day_words, sentence, sentence_start
from planner.findings import Finding
from planner.marks.marks import Agreement, Mark, Verdict

BEYOND = "beyond_licence"
"""The finding of a mark by hand that the occasion does not allow."""


@dataclass(frozen=True, slots=True)
class SettleView:
    """One mark for the drums: what it asks, where it stands, and the fields that settle it.

    ``places`` are the note places as ``part/bar/ending/beat``, one for each time it comes.
    ``lapsed`` says whose word held for the mark as it was before it changed; ``why`` says of a
    conflict what it is about.
    """

    sign: str
    where: str
    what: str
    verdict: str
    why: str
    asks: str
    state: str
    who_and_when: str
    remark: str
    lapsed: str
    can_be_settled: bool
    move: str
    ms: str
    tempo_bpm: str
    places: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DrumsTuneView:
    """One tune for the drummers; ``refused`` has what the drums refused and is left as written."""

    key: str
    anchor: str
    title: str
    address: str
    score: str
    set_name: str
    tempo: str
    tempo_unit: str
    tempo_word: str
    facts: str
    strips: tuple[StripView, ...]
    marks: tuple[SettleView, ...]
    refused: tuple[str, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DrumsView:
    """The drum sergeant's page of an event; ``only_open`` leaves out every strict bar.

    ``spoke_last`` is whoever settled something last.
    """

    address: str
    event: str
    occasion: str
    day: str
    version: str
    verdict: str
    since_agreed: tuple[str, ...]
    since_print: tuple[str, ...]
    legend: tuple[tuple[str, str], ...]
    tunes: tuple[DrumsTuneView, ...]
    only_open: bool
    spoke_last: str = ""


def drums_view(
    planned: PlannedEvent,
    version: int,
    only_open: bool = False,
    since_print: tuple[str, ...] = (),
) -> DrumsView:
    """The drum sergeant's page of an event."""
    event = planned.event
    plans = [plan for each in planned.sets for plan in each.plans]
    tunes = _tunes(planned)
    return DrumsView(
        address=f"/events/{event.key}",
        event=event.name,
        occasion=setting_words(event.setting),
        day=day_words(event.day),
        version=str(version),
        verdict=verdict_words(plans) if plans else "",
        since_agreed=since_agreed(planned),
        since_print=since_print,
        legend=tuple((str(verdict), words) for verdict, words in VERDICT_MEANINGS.items()),
        tunes=tuple(_only_open(tunes)) if only_open else tunes,
        only_open=only_open,
        spoke_last=_spoke_last(planned.agreements),
    )


def _spoke_last(made: Sequence[AgreementMade]) -> str:
    """Who settled something last, to stand in the fields: most often the same goes on."""
    return made[-1].who if made else ""


def _tunes(planned: PlannedEvent) -> tuple[DrumsTuneView, ...]:
    places = [(played, each) for played in planned.sets for each in played.entries]
    return tuple(
        _tune(planned, played, each, f"tune-{place}")
        for place, (played, each) in enumerate(places, start=1)
    )


def _tune(
    planned: PlannedEvent, played: PlannedSet, each: PlannedEntry, anchor: str
) -> DrumsTuneView:
    sheet, key = drum_tune_view(each, played.set), each.entry.tune_key
    groups = group_marks(each.plan.marks, False)
    made = [said for said in planned.agreements if said.tune_key == key]
    bpm = each.plan.analysis.tempo.bpm
    return DrumsTuneView(
        key=key,
        anchor=anchor,
        title=sheet.title,
        address=f"/events/{planned.event.key}/tunes/{key}",
        score=f"/tunes/{key}/drum-score",
        set_name=f"Set {played.set.number}, {played.set.name}",
        tempo=sheet.tempo,
        tempo_unit=sheet.tempo_unit,
        tempo_word=sheet.tempo_word,
        facts=sentence_start(sheet.facts),
        strips=sheet.strips,
        marks=tuple(
            settle_view(group, made, bpm, each.plan.warnings)
            for group in groups
            if group.first.drums is not Verdict.STRICT
        ),
        refused=_refused(made, each.plan.marks),
        notes=sheet.notes,
    )


def _refused(made: Iterable[AgreementMade], marks: Iterable[Mark]) -> tuple[str, ...]:
    """What was refused where no mark stands any more: the place, who, when and the remark."""
    standing = {mark.place.address for mark in marks}
    latest = {each.address: each for each in made}
    gone = (each for at, each in latest.items() if not each.is_agreed and at not in standing)
    return tuple(_refused_words(each) for each in gone)


def _refused_words(made: AgreementMade) -> str:
    remark = f" “{made.remark}”" if made.remark else ""
    return f"{sentence_start(str(made.address))}: refused by {_who_and_when(made)}.{remark}"


def settle_view(
    group: MarkGroup,
    made: Sequence[AgreementMade],
    bpm: float,
    warnings: Sequence[Finding] = (),
) -> SettleView:
    """One mark that concerns the drums, with what was said about it."""
    mark = group.first
    addresses = {each.place.address for each in group.marks}
    said = [each for each in made if each.address in addresses]
    is_settled = mark.agreement in (Agreement.AGREED, Agreement.REFUSED)
    return SettleView(
        sign=move_sign(mark.move),
        where=sentence_start(addresses_in_words([struck_address(each) for each in group.marks])),
        what=sentence_start(done_words(mark)),
        verdict=str(mark.drums),
        why=_why_conflict(mark, warnings),
        asks=drum_words(mark).removeprefix(str(mark.drums)).lstrip(",: "),
        state=str(mark.agreement) if mark.agreement is not Agreement.NOT_NEEDED else "",
        who_and_when=_who_and_when(said[-1]) if said and is_settled else "",
        remark=said[-1].remark if said and is_settled else "",
        lapsed="" if is_settled or not said else _lapsed(said[-1]),
        can_be_settled=mark.agreement is not Agreement.NOT_NEEDED,
        move=str(mark.move),
        ms=repr(mark.ms),
        tempo_bpm=repr(bpm),
        places=tuple(_place(each) for each in group.marks),
    )


def _why_conflict(mark: Mark, warnings: Sequence[Finding]) -> str:
    """What a conflict is about, in one sentence: the ceiling it breaks, or what will be heard."""
    if mark.drums is not Verdict.CONFLICT:
        return ""
    where = str(mark.place.address)
    broken = [each.text for each in warnings if each.where == where and each.code == BEYOND]
    if broken:
        return sentence(sentence_start(broken[0]))
    return sentence(sentence_start(flam_words(mark)))


def _place(mark: Mark) -> str:
    at = mark.place.address
    return f"{at.part}/{at.bar}/{at.ending}/{float(at.beat)!r}"


def _lapsed(made: AgreementMade) -> str:
    word = "agreed" if made.is_agreed else "refused"
    return f"Changed since it was {word} by {_who_and_when(made)}."


def _who_and_when(made: AgreementMade) -> str:
    when = f", {made.when.day} {made.when:%B %Y}" if made.when else ""
    return f"{made.who}{when}"


def _only_open(tunes: Iterable[DrumsTuneView]) -> Iterable[DrumsTuneView]:
    """The tunes that ask something of the drums, with just those bars."""
    for tune in tunes:
        strips = tuple(
            replace(strip, bars=tuple(bar for bar in strip.bars if bar.verdict != Verdict.STRICT))
            for strip in tune.strips
        )
        kept = tuple(strip for strip in strips if strip.bars)
        if kept or tune.marks or tune.refused:
            yield replace(tune, strips=kept)
