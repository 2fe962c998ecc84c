"""A plan as a table a person reads in a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from planner.marks.marks import Mark
from planner.marks.rung_work import RungWork
from planner.music.tune import beat_text
from planner.plan import TunePlan


def plan_text(plan: TunePlan) -> str:
    """The plan in words: what it is, how free it is and why, the marks, the drums, the warnings."""
    return "\n".join([*_head(plan), "", *_licence(plan), "", *_marks(plan), *_rest(plan)])


def _head(plan: TunePlan) -> Iterator[str]:
    tune, analysis = plan.tune, plan.analysis
    yield tune.title
    yield (
        f"{analysis.idiom}, {tune.metre}, {analysis.tempo.bpm:g} {tune.metre.beat_unit}s a minute, "
        f"{_count(len(tune.parts), 'part')}, {_count(tune.bars_played, 'bar')} played, "
        f"{plan.seconds:.1f} s, tonal centre {analysis.tonal_centre or 'unknown'}"
    )


def _licence(plan: TunePlan) -> Iterator[str]:
    layers = plan.licence.layers
    occasion = plan.licence.occasion.words
    yield f"Licence for {occasion}, {plan.licence.sort.value.replace('-', ' ')}"
    yield f"  within the beat    {layers.within_beat}"
    yield f"  across the bar     {layers.across_bar}"
    yield f"  across the phrase  {layers.across_phrase}"
    yield f"  between tunes      {layers.between_tunes}"
    yield f"  drums              {plan.drums.tempo}"
    yield "Why"
    for reason in plan.licence.reasons:
        yield f"  {reason.text} [{reason.rule}]"


def _marks(plan: TunePlan) -> Iterator[str]:
    yield _count(len(plan.marks), "mark") if plan.marks else "No marks"
    if plan.marks:
        yield f"  {'part':>4} {'bar':>4} {'beat':>6}  {'note':<7} {'move':<8} {'ms':>5}  drums"
    for mark in plan.marks:
        yield from _mark_lines(mark)


def _mark_lines(mark: Mark) -> Iterator[str]:
    address = mark.place.address
    bar = f"{address.bar}" + (f"/{address.ending}" if address.ending else "")
    yield (
        f"  {address.part:>4} {bar:>4} {beat_text(address.beat):>6}  {mark.place.note:<7} "
        f"{mark.move:<8} {mark.ms:>+5.0f}  {mark.drums}"
    )
    yield f"       {mark.why}; {mark.audibility.word}; {mark.producible.word}"


def _rest(plan: TunePlan) -> Iterator[str]:
    if plan.work:
        yield f"To practise first: {plan.work.what}"
        yield from _work_lines(plan.work)
    if plan.left_out:
        yield "Left as written"
    for entry in plan.left_out:
        yield f"  {entry.place.address}, {entry.place.note}: {entry.why}"
    if plan.warnings:
        yield "Take note"
    for finding in plan.warnings:
        yield f"  {finding}"


def _work_lines(work: RungWork) -> Iterator[str]:
    for step in work.metronome:
        yield f"  {step.tempo_bpm:g} beats a minute, {step.times} times through without a stumble"
    for pair in work.pairs:
        kind = "cut" if pair.is_cut else "dotted"
        yield (
            f"  {pair.place.address}, {kind} pair from {pair.place.note}: "
            f"{pair.wanted_ratio:.1f} to 1, the short note {pair.short_ms:.0f} ms"
        )
    for join in work.joins:
        yield f"  {join.place.address}, {join.place.note}: into the {join.movement} after it"


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
