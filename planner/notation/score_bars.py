"""How do the measures of an imported score become written bars?

Works on the objects music21 makes without importing it. One voice of one staff is the tune;
whatever else the score holds is counted or remarked on. Gracenotes belong to the note after them,
also across a bar line.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any

from planner.music.scale import Pitch
from planner.music.tempo import Metre
from planner.notation.readtune import Remarks
from planner.notation.written import FREE_METRE, WrittenBar, WrittenNote

MOST_TIMES = 8
_SYMBOLS = {"common": "C", "cut": "C|"}
_DOUBLE = {"double", "final", "light-light", "light-heavy", "heavy-light", "heavy-heavy"}


@dataclass(slots=True)
class _Reading:
    """What is carried from one measure to the next."""

    remarks: Remarks
    gracenotes: list[Pitch] = field(default_factory=list)


def written_bars(staff: Any, remarks: Remarks, metre: Metre = FREE_METRE) -> list[WrittenBar]:
    """The bars of one staff, with the signs around them; ``metre`` holds until one is named."""
    reading = _Reading(remarks)
    bars = written_bar_frames(staff, metre)
    for bar, measure in zip(bars, staff.getElementsByClass("Measure"), strict=True):
        for element in _sounds(measure, bar.index, reading.remarks):
            _read_sound(element, bar, reading)
    if reading.gracenotes:
        remarks.add("gracenotes_alone", "the tune ends in gracenotes without a note")
    _loosen_ties(bars, remarks)
    return bars


def written_bar_frames(staff: Any, metre: Metre = FREE_METRE) -> list[WrittenBar]:
    """The bars of one staff with the signs around them, still without notes."""
    endings = _endings(staff)
    frames = []
    for index, measure in enumerate(staff.getElementsByClass("Measure")):
        if measure.timeSignature is not None:
            metre = _metre(measure.timeSignature)
        frames.append(_frame(index, measure, endings.get(id(measure), ()), metre))
    return frames


def _endings(staff: Any) -> dict[int, tuple[int, ...]]:
    """The passes of each ending by the identity of its first measure."""
    endings: dict[int, tuple[int, ...]] = {}
    for bracket in staff.recurse().getElementsByClass("RepeatBracket"):
        passes = tuple(n for n in bracket.numberRange if 1 <= n <= MOST_TIMES)
        first = bracket.getFirst()
        if first is not None and passes:
            endings[id(first)] = passes
    return endings


def _frame(index: int, measure: Any, ending: tuple[int, ...], metre: Metre) -> WrittenBar:
    bar = WrittenBar(index, metre, ending=ending, starts_line=index == 0)
    _read_barlines(measure, bar)
    for element in measure.elements:
        classes = element.classes
        if "SystemLayout" in classes or "PageLayout" in classes:
            bar.starts_line = bar.starts_line or bool(element.isNew)
        elif "RehearsalMark" in classes:
            bar.part_mark = str(element.content)[:20]
    return bar


def _metre(signature: Any) -> Metre:
    return Metre(signature.numerator, signature.denominator, _SYMBOLS.get(signature.symbol, ""))


def _read_barlines(measure: Any, bar: WrittenBar) -> None:
    left, right = measure.leftBarline, measure.rightBarline
    if left is not None and getattr(left, "direction", "") == "start":
        bar.opens = 2
    if right is None:
        return
    if getattr(right, "direction", "") == "end":
        bar.closes = min(right.times or 2, MOST_TIMES)
    bar.double_after = bool(bar.closes) or right.type in _DOUBLE


def _sounds(measure: Any, index: int, remarks: Remarks) -> Iterable[Any]:
    voices = [element for element in measure.elements if "Voice" in element.classes]
    if not voices:
        return [element for element in measure.elements if "GeneralNote" in element.classes]
    if any(list(voice.notes) for voice in voices[1:]):
        text = "a second voice in the bar is left out"
        remarks.add("second_voice", text, bar_index=index)
    return list(voices[0].notesAndRests)


def _read_sound(element: Any, bar: WrittenBar, reading: _Reading) -> None:
    classes = element.classes
    if "Harmony" in classes:
        reading.remarks.leave_out("chord symbols are")
        return
    if "Unpitched" in classes or "PercussionChord" in classes:
        reading.remarks.leave_out("drum notes are")
        return
    if element.lyrics:
        reading.remarks.leave_out("syllables are")
    pitch = _pitch(element, bar, reading.remarks)
    if element.duration.isGrace:
        if pitch is not None:
            reading.gracenotes.append(pitch)
        return
    length = Fraction(element.duration.quarterLength)
    if length <= 0:
        return
    note = WrittenNote(pitch, length, tuple(reading.gracenotes))
    reading.gracenotes = []
    note.tuplet = _tuplet(element.duration.tuplets)
    if pitch is not None:
        note.tied_on = element.tie is not None and element.tie.type in ("start", "continue")
        note.joined = _is_joined(element)
    bar.notes.append(note)


def _pitch(element: Any, bar: WrittenBar, remarks: Remarks) -> Pitch | None:
    if element.isRest:
        return None
    if element.isChord:
        text = "of a chord only its first note is kept"
        remarks.add("chord", text, bar_index=bar.index)
    written = element.notes[0].pitch if element.isChord else element.pitch
    alter = int(written.alter)
    if alter != written.alter:
        remarks.add("quarter_tone", "a quarter tone is read as the note below it")
    return Pitch(written.step, alter, written.implicitOctave)


def _tuplet(tuplets: Iterable[Any]) -> tuple[int, int] | None:
    actual = normal = 1
    for tuplet in tuplets:
        actual *= tuplet.numberNotesActual
        normal *= tuplet.numberNotesNormal
    return (actual, normal) if actual != normal else None


def _is_joined(element: Any) -> bool:
    beams = element.beams.beamsList
    return bool(beams) and beams[0].type in ("start", "continue")


def _loosen_ties(bars: list[WrittenBar], remarks: Remarks) -> None:
    before: tuple[WrittenBar, WrittenNote] | None = None
    for bar in [*bars, WrittenBar(len(bars), FREE_METRE, [WrittenNote(None, Fraction(1))])]:
        for note in bar.notes:
            if before is not None and before[1].tied_on and before[1].pitch != note.pitch:
                before[1].tied_on = False
                text = "a tie does not lead to the same note and is left out"
                remarks.add("tie", text, bar_index=before[0].index)
            before = (bar, note)
