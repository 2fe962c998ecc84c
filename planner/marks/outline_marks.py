"""Marks on a tune without notes: set by hand at a part, a bar and a beat, and nothing worked out.

What is not on file cannot be timed, heard or played out, so no figure is made up: such a mark says
where, what and by whom, and asks the drums for their word wherever its layer lies beyond the beat.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from planner.findings import Finding
from planner.licence.licence import Layers, Level
from planner.marks.choices import ByHand
from planner.marks.clash import judge_clash
from planner.marks.marks import Agreement, Audibility, Mark, Move, Producible, Verdict
from planner.marks.stage import Stage
from planner.music.tune import Address, NotePlace, Tune

NO_NOTES, NOTE_THERE = "no notes on file", "the note there"
WITHIN_THE_BEAT = (Move.HOLD, Move.TIGHTEN)


def marks_on_outline(
    stage: Stage, words: Sequence[ByHand]
) -> tuple[tuple[Mark, ...], tuple[Finding, ...]]:
    """The marks by hand of a tune without notes; ``ByHand.index`` counts its beats from 0."""
    placed = {place.note_id: place for place in beats_of_outline(stage.analysis.tune)}
    asked = [word for word in words if word.move is not None]
    made = tuple(
        _mark(stage, placed[word.note_id], word) for word in asked if word.note_id in placed
    )
    gone = tuple(
        Finding("hand_mark_gone", "a mark set by hand stands on a beat that is gone", _where(word))
        for word in asked
        if word.note_id not in placed
    )
    return made, gone


def beats_of_outline(tune: Tune) -> Iterator[NotePlace]:
    """Every beat of a tune without notes, as a place for a mark."""
    for part in tune.parts:
        for bar in part.full_bars:
            for beat in range(bar.metre.beats_per_bar):
                address = Address(part.number, bar.number, bar.ending, Fraction(beat + 1))
                yield NotePlace(address, NOTE_THERE, beat)


def _mark(stage: Stage, place: NotePlace, word: ByHand) -> Mark:
    move = word.move or Move.HOLD
    verdict = _verdict(stage, move)
    needs_word = verdict in (Verdict.FOLLOW, Verdict.CONFLICT)
    ms = word.ms or 0.0
    return Mark(
        place=place,
        move=move,
        ms=ms,
        beat_fraction=ms / stage.beat_ms,
        moved=place,
        audibility=Audibility(0.0, 0.0, NO_NOTES),
        producible=Producible(abs(ms) / stage.licence.sigma_ms, NO_NOTES),
        clash=judge_clash(0.0, 0.0, False, stage.licence.sigma_ms, stage.rules),
        drums=verdict,
        agreement=Agreement.TO_BE_AGREED if needs_word else Agreement.NOT_NEEDED,
        why=f"{move} {NOTE_THERE}: set by hand",
        by_hand=True,
    )


def _verdict(stage: Stage, move: Move) -> Verdict:
    if move in WITHIN_THE_BEAT or not stage.licence.has_drums:
        return Verdict.STRICT
    return Verdict.FOLLOW if _layer(stage.licence.layers, move).is_free else Verdict.CONFLICT


def _layer(layers: Layers, move: Move) -> Level:
    return layers.across_phrase if move is Move.BREATHE else layers.across_bar


def _where(word: ByHand) -> str:
    return f"part {word.part}, bar {word.bar}, beat {word.index + 1}"
