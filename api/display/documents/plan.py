"""A plan as one JSON document: the contract of ``pacestick plan --json`` and of the HTTP interface.

Times in milliseconds, tempo in felt beats a minute, pitches by their nine names. Numbers keep six
decimals, so that the sums a reader makes of them still come out to a thousandth of a millisecond.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from planner.analysis.movements import Movement, Sits
from planner.analysis.phrases import PartShape, Span
from planner.licence.licence import Licence
from planner.marks.drum_map import DrumBarVerdict
from planner.marks.marks import LeftOut, Mark
from planner.marks.played import PlayedNote
from planner.marks.rung_work import RungWork
from planner.music.tune import Address, NotePlace, Part
from planner.plan import TunePlan

DECIMALS = 6

Document = dict[str, Any]


def plan_document(plan: TunePlan) -> Document:
    """The whole plan as plain values, ready for JSON."""
    return {
        "tune": _tune(plan),
        "licence": _licence(plan.licence),
        "marks": [mark_document(mark) for mark in plan.marks],
        "left_out": [_left_out(entry) for entry in plan.left_out],
        "drums": {
            "tempo": plan.drums.tempo.value,
            "bars": [_drum_bar(bar) for bar in plan.drums.bars],
        },
        "played": {"notes": [_played(note) for note in plan.played]},
        "strain": {
            "share_off_written": number(plan.strain.share_off_written),
            "worst_bar_percent": number(plan.strain.worst_bar_percent),
        },
        "work": None if plan.work is None else _work(plan.work),
        "warnings": [{"code": finding.code, "text": str(finding)} for finding in plan.warnings],
    }


def _tune(plan: TunePlan) -> Document:
    tune, analysis = plan.tune, plan.analysis
    shapes = {shape.number: shape for shape in analysis.shapes}
    return {
        "title": tune.title,
        "idiom": analysis.idiom,
        "metre": f"{tune.metre.count}/{tune.metre.unit}",
        "beats_per_bar": tune.metre.beats_per_bar,
        "beat_unit": tune.metre.beat_unit,
        "tempo_bpm": number(analysis.tempo.bpm),
        "tonal_centre": analysis.tonal_centre,
        "pointedness": number(plan.pointedness),
        "bars": tune.bars_played,
        "seconds": number(plan.seconds),
        "parts": [_part(part, shapes[part.number]) for part in tune.parts],
        "movements": _movements(plan),
    }


def _part(part: Part, shape: PartShape) -> Document:
    return {
        "number": part.number,
        "bars": len(part.full_bars),
        "repeated": part.is_repeated,
        "lines": [_span(span) for span in shape.lines],
        "phrases": [_span(span) for span in shape.phrases],
    }


def _span(span: Span) -> Document:
    return {"first_bar": span.first_bar, "last_bar": span.last_bar}


def _movements(plan: TunePlan) -> list[Document]:
    """Every movement as it is played here: a mark may move it over its beat."""
    analysis, moved = plan.analysis, plan.change.beat_index
    return [
        _movement(
            note.place, movement, analysis.written.beat_index[note.index] + moved.get(note.index, 0)
        )
        for note, movement in zip(analysis.notes, analysis.movements, strict=True)
        if movement is not None
    ]


def _movement(place: NotePlace, movement: Movement, beat_index: int) -> Document:
    return {
        **address_document(place.address),
        "name": movement.name,
        "note": place.note,
        "gracenotes": list(movement.gracenotes),
        "beat_index": beat_index,
        "sits": Sits.of(beat_index, len(movement.gracenotes)).value,
    }


def _licence(licence: Licence) -> Document:
    layers = licence.layers
    return {
        "occasion": licence.occasion.value,
        "sort": licence.sort.value,
        "layers": {
            "within_beat": layers.within_beat.value,
            "across_bar": layers.across_bar.value,
            "across_phrase": layers.across_phrase.value,
            "between_tunes": layers.between_tunes.value,
        },
        "marks_per_line": licence.marks_per_line,
        "lifted_by": licence.lifted_by,
        "lifted_on": licence.lifted_on.isoformat() if licence.lifted_on else None,
        "rung": licence.rung,
        "sigma_ms": number(licence.sigma_ms),
        "reasons": [{"rule": reason.rule, "text": reason.text} for reason in licence.reasons],
    }


def mark_document(mark: Mark) -> Document:
    """One mark as plain values."""
    return {
        **_place(mark.place),
        "move": mark.move.value,
        "ms": number(mark.ms),
        "beat_fraction": number(mark.beat_fraction),
        "moved": _place(mark.moved),
        "audibility": {
            "ratio": number(mark.audibility.ratio),
            "lab_ratio": number(mark.audibility.lab_ratio),
            "word": mark.audibility.word,
        },
        "producible": {
            "ratio": number(mark.producible.ratio),
            "word": mark.producible.word,
        },
        "clash": {
            "ratio": number(mark.clash.ratio),
            "p_percent": number(mark.clash.p_percent),
            "p_zero_percent": number(mark.clash.p_zero_percent),
            "word": mark.clash.word,
        },
        "drums": mark.drums.value,
        "agreement": mark.agreement.value,
        "by_hand": mark.by_hand,
        "why": mark.why,
    }


def _left_out(entry: LeftOut) -> Document:
    return {**_place(entry.place), "why": entry.why}


def _drum_bar(bar: DrumBarVerdict) -> Document:
    return {
        "part": bar.part,
        "bar": bar.bar,
        "ending": bar.ending,
        "verdict": bar.verdict.value,
        "moves": [
            {
                **_place(mark.met_at),
                "move": mark.move.value,
                "ms": number(mark.ms),
                "verdict": mark.drums.value,
            }
            for mark in bar.moves
        ],
    }


def _work(work: RungWork) -> Document:
    """What a band below rung 4 practises on this tune instead of marks."""
    return {
        "rung": work.rung,
        "what": work.what,
        "metronome": [
            {"tempo_bpm": number(step.tempo_bpm), "times": step.times} for step in work.metronome
        ],
        "pairs": [
            {
                **_place(pair.place),
                "kind": "cut" if pair.is_cut else "dotted",
                "written_ratio": number(pair.written_ratio),
                "wanted_ratio": number(pair.wanted_ratio),
                "short_ms": number(pair.short_ms),
            }
            for pair in work.pairs
        ],
        "joins": [
            {**_place(join.place), "movement": join.movement, "into": _place(join.into)}
            for join in work.joins
        ],
    }


def _played(note: PlayedNote) -> Document:
    return {
        **_place(note.place),
        "written_onset_ms": number(note.written_onset_ms),
        "onset_ms": number(note.onset_ms),
        "movement_start_ms": number(note.movement_start_ms),
        "sounding_ms": number(note.sounding_ms),
        "sounding_length_ms": number(note.sounding_length_ms),
    }


def _place(place: NotePlace) -> Document:
    return {**address_document(place.address), "note": place.note}


def address_document(address: Address) -> Mapping[str, Any]:
    """Part, bar, ending and beat; the beat is a number."""
    return {
        "part": address.part,
        "bar": address.bar,
        "ending": address.ending,
        "beat": number(float(address.beat)),
    }


def number(value: float) -> float | int:
    """A number for JSON: six decimals, whole numbers without a point, never minus zero."""
    rounded = round(value, DECIMALS) + 0.0
    return int(rounded) if rounded.is_integer() else rounded
