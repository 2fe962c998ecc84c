"""A chosen move becomes a mark: what it asks of the drums, and the sentence that says why."""

from __future__ import annotations

from planner.marks.clash import clash_ratio, judge_clash
from planner.marks.marks import Agreement, Clash, Mark, Move, Verdict
from planner.marks.stage import Draft, Proposal, Stage

DONE = {
    Move.HOLD: "hold {note}, {moved} pays",
    Move.TIGHTEN: "play the {movement} tight, {note} gains",
    Move.EARLY: "start the {movement} before the beat, the {moved} before it pays",
    Move.LATE: "let the {movement} come late, the {note} before it gains",
    Move.LEAN: "lean on {note}, the next beat pays",
    Move.BREATHE: "breathe after {note}",
}


def make_mark(stage: Stage, proposal: Proposal) -> Mark:
    """The mark of a proposal, with its clash, its verdict for the drums and its reason."""
    draft = proposal.draft
    verdict, clash = _meet_the_drums(stage, draft)
    follows = verdict is Verdict.FOLLOW
    return Mark(
        place=stage.analysis.notes[draft.index].place,
        move=draft.move,
        ms=draft.ms,
        beat_fraction=draft.ms / stage.beat_ms,
        moved=stage.analysis.notes[draft.moved].place,
        audibility=proposal.audibility,
        producible=proposal.producible,
        clash=clash,
        drums=verdict,
        agreement=Agreement.TO_BE_AGREED if follows else Agreement.NOT_NEEDED,
        why=_why(stage, draft),
    )


def _meet_the_drums(stage: Stage, draft: Draft) -> tuple[Verdict, Clash]:
    """Drums that go along meet no clash; drums that do not are told how often it will be heard."""
    sigma_ms, rules = stage.licence.sigma_ms, stage.rules
    meets = stage.licence.has_drums and bool(draft.meets or draft.in_roll)
    if not meets:
        return Verdict.STRICT, judge_clash(0.0, 0.0, False, sigma_ms, rules)
    if draft.meets and all(stage.is_follow_open(index) for index in draft.meets):
        return Verdict.FOLLOW, judge_clash(0.0, 0.0, False, sigma_ms, rules)
    ratio = clash_ratio(draft.ms, rules, draft.in_roll)
    clash = judge_clash(draft.ms, ratio, True, sigma_ms, rules)
    return verdict_of(clash, stage), clash


def verdict_of(clash: Clash, stage: Stage) -> Verdict:
    """Strict, watch or conflict for a stroke that does not move with the pipes."""
    rules = stage.rules
    if clash.ratio >= rules.number("thresholds.clash.risk"):
        return Verdict.CONFLICT
    more_flams = clash.p_percent - clash.p_zero_percent
    is_near = clash.ratio >= rules.number("thresholds.clash.watch")
    is_often = more_flams >= rules.number("thresholds.clash.watch_points")
    return Verdict.WATCH if is_near or is_often else Verdict.STRICT


def _why(stage: Stage, draft: Draft) -> str:
    notes = stage.analysis.notes
    owner = draft.index if draft.move is Move.EARLY else draft.moved
    done = DONE[draft.move].format(
        note=notes[draft.index].place.note,
        moved=notes[draft.moved].place.note,
        movement=_movement_words(stage, owner),
    )
    return f"{done}: {_what_it_shows(stage, draft.index)}"


def _movement_words(stage: Stage, owner: int) -> str:
    """The movement by name and note: ``taorluath on low A``, ``heavy throw on D``."""
    movement, note = stage.analysis.movements[owner], stage.analysis.notes[owner].place.note
    name = movement.name if movement and movement.is_named else "movement"
    return name if name.endswith(f"on {note}") else f"{name} on {note}"


def _what_it_shows(stage: Stage, index: int) -> str:
    """What makes the note stand out, by the largest weighted term of its salience."""
    salience = stage.analysis.salience[index]
    words = {
        "metre": "it stands on a strong beat",
        "duration": "it is a long note",
        "contour": "the melody turns there",
        "phrase": _phrase_words(stage, index),
        "drone": "it stands against the drones",
    }
    weight = {name: stage.rules.number(f"thresholds.salience.{name}") for name in words}
    largest = max(words, key=lambda name: weight[name] * getattr(salience, name))
    return words[largest]


def _phrase_words(stage: Stage, index: int) -> str:
    if index in stage.analysis.cadences:
        return "it closes a phrase"
    bar = stage.analysis.notes[index].address.bar
    grouping = stage.analysis.grouping
    if bar == 1:
        return "it opens the part"
    if grouping.line_of(bar) != grouping.line_of(bar - 1):
        return "it opens a line"
    is_phrase = grouping.phrase_of(bar) != grouping.phrase_of(bar - 1)
    return "it opens a phrase" if is_phrase else "it opens the bar"
