"""A chosen move becomes a mark: what it asks of the drums, and the sentence that says why."""

from __future__ import annotations

from planner.analysis.phrases import opens
from planner.marks.clash import clash_ratio, judge_clash
from planner.marks.marks import Agreement, Clash, Mark, Move, Verdict
from planner.marks.stage import Draft, Proposal, Stage

DONE = {
    Move.HOLD: "hold {note}, {moved} pays",
    Move.TIGHTEN: "play the {movement} tight, {note} gains",
    Move.EARLY: "start the {movement} before the beat, the {moved} before it pays",
    Move.LATE: "let the {movement} come late, the {note} before it gains",
    Move.LEAN: "lean on {note}, the next beat pays",
    Move.BREATHE: "breathe after {note}, the bar grows",
}


def make_mark(stage: Stage, proposal: Proposal, by_hand: bool = False) -> Mark:
    """The mark of a proposal, with its clash, its verdict for the drums and its reason."""
    draft = proposal.draft
    verdict, clash = _meet_the_drums(stage, draft)
    needs_word = verdict in (Verdict.FOLLOW, Verdict.CONFLICT)
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
        agreement=Agreement.TO_BE_AGREED if needs_word else Agreement.NOT_NEEDED,
        why=_why(stage, draft, by_hand),
        by_hand=by_hand,
    )


def _meet_the_drums(stage: Stage, draft: Draft) -> tuple[Verdict, Clash]:
    """Drums that go along meet no clash; drums that do not are told how often it will be heard."""
    sigma_ms, rules = stage.licence.sigma_ms, stage.rules
    if draft.move is Move.BREATHE:
        return _breath_verdict(stage), judge_clash(0.0, 0.0, False, sigma_ms, rules)
    meets = stage.licence.has_drums and bool(draft.meets or draft.in_roll)
    if not meets:
        return Verdict.STRICT, judge_clash(0.0, 0.0, False, sigma_ms, rules)
    if draft.meets and all(stage.is_follow_open(index) for index in draft.meets):
        return Verdict.FOLLOW, judge_clash(0.0, 0.0, False, sigma_ms, rules)
    # One voice's roll does not hide another voice's stroke.
    ratio = clash_ratio(draft.ms, rules, draft.in_roll and not draft.meets)
    clash = judge_clash(draft.ms, ratio, True, sigma_ms, rules)
    return verdict_of(clash, stage), clash


def _breath_verdict(stage: Stage) -> Verdict:
    """A bar that grows is agreed with the drums where its layer is open, else a conflict."""
    if not stage.licence.layers.across_phrase.is_free:
        return Verdict.CONFLICT
    return Verdict.FOLLOW if stage.licence.has_drums else Verdict.STRICT


def verdict_of(clash: Clash, stage: Stage) -> Verdict:
    """Strict, watch or conflict for a stroke that does not move with the pipes."""
    rules = stage.rules
    if clash.ratio >= rules.number("thresholds.clash.risk"):
        return Verdict.CONFLICT
    more_flams = clash.p_percent - clash.p_zero_percent
    is_near = clash.ratio >= rules.number("thresholds.clash.watch")
    is_often = more_flams >= rules.number("thresholds.clash.watch_points")
    return Verdict.WATCH if is_near or is_often else Verdict.STRICT


def _why(stage: Stage, draft: Draft, by_hand: bool) -> str:
    notes = stage.analysis.notes
    owner = draft.index if draft.move is Move.EARLY else draft.moved
    done = DONE[draft.move].format(
        note=notes[draft.index].place.note,
        moved=notes[draft.moved].place.note,
        movement=_movement_words(stage, owner),
    )
    reason = "set by hand" if by_hand else _what_it_shows(stage, draft.index)
    return f"{done}: {reason}"


def _movement_words(stage: Stage, owner: int) -> str:
    """The movement by name and note: ``taorluath on low A``, ``heavy throw on D``."""
    movement, note = stage.analysis.movements[owner], stage.analysis.notes[owner].place.note
    name = movement.name if movement and movement.is_named else "movement"
    return name if name.endswith(f"on {note}") else f"{name} on {note}"


def _what_it_shows(stage: Stage, index: int) -> str:
    """What makes the note stand out, by the largest weighted term of its salience."""
    salience = stage.analysis.salience[index]
    words = {
        "phrase": _phrase_words(stage, index),
        "duration": "it is a long note",
        "contour": "the melody turns there",
        "metre": "it stands on a strong beat",
        "drone": "it stands against the drones",
    }
    weight = {name: stage.rules.number(f"thresholds.salience.{name}") for name in words}
    largest = max(words, key=lambda name: weight[name] * getattr(salience, name))
    return words[largest]


def _phrase_words(stage: Stage, index: int) -> str:
    if index in stage.analysis.cadences:
        return "it closes a phrase"
    word = opens(stage.analysis.notes[index].address, stage.analysis.grouping)
    return f"it opens {'the' if word in ('part', 'bar') else 'a'} {word}"
