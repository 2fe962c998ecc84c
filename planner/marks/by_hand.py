"""What a person sets goes before what the engine would choose.

The pipe-major may overrule everything but the chanter and the clock: a mark by hand is worked out
with every layer open, and is made wherever its neighbours can pay for it. What that asks of the
licence, the ear and the drums is then told, not hidden.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from planner.findings import Finding, Gravity
from planner.licence.licence import Level, Licence
from planner.marks.borrowing import room
from planner.marks.breathe import breathe
from planner.marks.choices import ByHand
from planner.marks.fit import Fit
from planner.marks.lengthen import opens_a_line
from planner.marks.marks import Move
from planner.marks.moves import WORK_OUT, why_never_marked
from planner.marks.played import Change
from planner.marks.room import beat_share
from planner.marks.stage import Draft, Drafted, Proposal, Refusal, Stage, judge, judged

# From what difference is a size another one? Nobody plays to half a millisecond.
SAME_SIZE_MS = 0.5
NO_MORE = "its neighbours and a tenth of a beat allow no more"
WHOLE = "gracenotes cross the beat whole"
OTHER_SIZE = {
    Move.HOLD: NO_MORE,
    Move.LEAN: NO_MORE,
    Move.BREATHE: "a breath is a tenth of a beat at most",
    Move.EARLY: WHOLE,
    Move.LATE: WHOLE,
    Move.TIGHTEN: "how tight a movement is played is a rule of the band's",
}
"""Why a mark by hand may come out otherwise than somebody wanted."""

BY_HAND: dict[Move, Callable[[Stage, int, float | None], Drafted]] = {
    **WORK_OUT,
    Move.BREATHE: breathe,
}


@dataclass(frozen=True, slots=True)
class HandWork:
    """What came of the marks by hand: those made, the notes to leave alone, and what to know."""

    made: tuple[Proposal, ...]
    forbidden: frozenset[int]
    findings: tuple[Finding, ...]


def work_by_hand(stage: Stage, words: Sequence[ByHand]) -> HandWork:
    """Every mark by hand that can be played, in the order given, and a finding for the others.

    The last word on a note holds.
    """
    index_of = {note.place.note_id: note.index for note in stage.analysis.notes}
    made: list[Proposal] = []
    forbidden: set[int] = set()
    findings: list[Finding] = []
    for word in {word.note_id: word for word in words}.values():
        index = index_of.get(word.note_id)
        if index is None:
            findings.append(_gone(word))
        elif word.move is None:
            forbidden.add(index)
        else:
            _make(stage, index, word, made, findings)
    for proposal in made:
        findings += _beyond_licence(stage, proposal)
    if stage.licence.marks_per_line:
        findings += _beyond_budget(stage, made)
    return HandWork(tuple(made), frozenset(forbidden), tuple(findings))


def try_by_hand(stage: Stage, index: int, move: Move) -> Drafted:
    """What a move set by hand would come to, at its usual size; nothing is made."""
    return _drafted(stage, index, move, None)


def _make(
    stage: Stage, index: int, word: ByHand, made: list[Proposal], findings: list[Finding]
) -> None:
    move, where = word.move or Move.HOLD, str(stage.analysis.notes[index].address)
    drafted = _drafted(stage, index, move, word.ms)
    if isinstance(drafted, Refusal):
        text = f"{move} set by hand is not possible here: {drafted.why}"
        findings.append(Finding("hand_mark_impossible", text, where))
        return
    if any(drafted.touched & other.draft.touched for other in made):
        text = f"{move} set by hand works with the notes of another mark set by hand"
        findings.append(Finding("hand_mark_impossible", text, where))
        return
    proposal = judged(stage, drafted)
    if proposal.audibility.lab_ratio < 1.0:
        least_ms = abs(drafted.ms) / proposal.audibility.lab_ratio if drafted.ms else 0.0
        text = f"{move} set by hand cannot be heard at {abs(drafted.ms):.0f} ms, so it is left out"
        findings.append(
            Finding("hand_mark_unheard", f"{text}; from {least_ms:.0f} ms it is", where)
        )
        return
    made.append(proposal)
    if word.ms is not None and abs(abs(drafted.ms) - abs(word.ms)) >= SAME_SIZE_MS:
        text = f"{move} set by hand comes to {abs(drafted.ms):.0f} ms, not {abs(word.ms):g}"
        told = f"{text}: {OTHER_SIZE[move]}"
        findings.append(Finding("hand_mark_other_size", told, where, Gravity.NOTE))


def _drafted(stage: Stage, index: int, move: Move, wanted_ms: float | None) -> Drafted:
    """A move by hand: at the planner's own size where it has one, else with every layer open."""
    why_not = why_never_marked(stage, index)
    if why_not:
        return Refusal(move, why_not)
    if wanted_ms is None and move in WORK_OUT:
        usual = WORK_OUT[move](stage, index, None)
        if isinstance(usual, Draft) and isinstance(judge(stage, usual), Proposal):
            return usual
    opened = replace(stage, licence=_opened(stage.licence), refused=frozenset())
    drafted = BY_HAND[move](opened, index, wanted_ms)
    if move is Move.HOLD and isinstance(drafted, Refusal):
        return _hold_from_before(opened, index, wanted_ms, drafted)
    return drafted


def _hold_from_before(
    stage: Stage, index: int, wanted_ms: float | None, refusal: Refusal
) -> Drafted:
    """In a cut-dot pair the long note takes its time from the short note before it."""
    note, payer = stage.analysis.notes[index], stage.analysis.notes[index - 1]
    is_pair = (payer.bar_index, payer.beat_number) == (note.bar_index, note.beat_number)
    if index == 0 or not is_pair or payer.note.length >= note.note.length:
        return refusal
    spare_ms = min(room(stage.analysis, payer.index, stage.rules), beat_share(stage))
    usual_ms = stage.rules.number("thresholds.audibility.music_floor")
    shift_ms = min(usual_ms if wanted_ms is None else abs(wanted_ms), spare_ms)
    if shift_ms <= 0.0:
        return Refusal(Move.HOLD, "the short note before it cannot spare anything")
    return Draft(
        index=index,
        move=Move.HOLD,
        ms=-shift_ms,
        moved=payer.index,
        ends=payer.index,
        ioi_ms=stage.analysis.written.length_ms[payer.index],
        change=Change(onset_ms={index: -shift_ms}),
        touched=frozenset((index, payer.index)),
        meets=(index,) if stage.anchors.is_struck(note) else (),
        lengthens=False,
    )


def _opened(licence: Licence) -> Licence:
    everything = {layer: Level.FULL for layer in ("within_beat", "across_bar", "across_phrase")}
    return replace(licence.with_layers(**everything), is_round=False, may_hold=True)


def _beyond_licence(stage: Stage, proposal: Proposal) -> list[Finding]:
    """A finding where the licence itself would not have allowed this move at this note."""
    draft = proposal.draft
    if _is_open(stage, draft):
        return []
    occasion = stage.licence.occasion.words
    text = f"{draft.move} set by hand goes beyond what {occasion} allows"
    return [Finding("beyond_licence", text, _where(stage, draft))]


def _is_open(stage: Stage, draft: Draft) -> bool:
    licence, layers = stage.licence, stage.licence.layers
    match draft.move:
        case Move.HOLD:
            return layers.within_beat is not Level.NONE and licence.may_hold
        case Move.TIGHTEN:
            return layers.within_beat is not Level.NONE
        case Move.BREATHE:
            return layers.across_phrase is not Level.NONE
        case Move.LEAN:
            is_named = layers.across_bar is Level.SLIGHT and opens_a_line(stage, draft.index)
            return (layers.across_bar.is_free or is_named) and not licence.is_round
        case Move.EARLY | Move.LATE:
            return layers.across_bar.is_free and not licence.is_round


def _beyond_budget(stage: Stage, made: Sequence[Proposal]) -> list[Finding]:
    """A finding for each figure marked by hand that is one too many, or too near to another."""
    figures: dict[int, list[Proposal]] = {}
    for proposal in made:
        figures.setdefault(stage.analysis.figures[proposal.draft.index], []).append(proposal)
    fit, found = Fit(stage), []
    for option in figures.values():
        why_not = fit.why_not(option)
        if why_not:
            text = f"{option[0].draft.move} set by hand is one too many: {why_not}"
            found.append(Finding("over_marked", text, _where(stage, option[0].draft)))
        fit.take(option)
    return found


def _where(stage: Stage, draft: Draft) -> str:
    return str(stage.analysis.notes[draft.index].address)


def _gone(word: ByHand) -> Finding:
    where = f"part {word.part}, bar {word.bar}, note {word.index + 1}"
    return Finding("hand_mark_gone", "a mark set by hand stands on a note that is gone", where)
