"""How does an imported drum staff become a line of a drum score?

Works on the objects music21 makes without importing it. Every note is a stroke, however it is
pitched or headed; a note with tremolo signs is a roll from its start to its end; notes tied to the
one before are not struck again; gracenotes (flams, drags) belong to their stroke.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import Any

from planner.music.drums import BarKey, DrumBar, DrumScore, DrumVoice
from planner.music.scale import LOW_A
from planner.music.tune import Part
from planner.notation.parts import make_parts
from planner.notation.readtune import Remarks
from planner.notation.score_bars import written_bar_frames
from planner.notation.written import WrittenNote

VOICE_WORDS = (
    ("bass", DrumVoice.BASS),
    ("tenor", DrumVoice.TENOR),
    ("lead", DrumVoice.LEADING),
)


def drum_score_of(staves: Iterable[Any], source: str) -> DrumScore:
    """The drum score of the staves of a file: the voice is told by the staff's name.

    A staff whose name says neither bass, tenor nor leading is taken for the snare corps.
    """
    lines: dict[DrumVoice, dict[BarKey, DrumBar]] = {}
    for staff in staves:
        voice = _voice(str(staff.partName or ""))
        line = dict(_line(staff))
        if any(bar.strokes or bar.rolls for bar in line.values()):
            lines.setdefault(voice, {}).update(line)
    return DrumScore(lines, source)


def _voice(name: str) -> DrumVoice:
    said = name.casefold()
    return next((voice for word, voice in VOICE_WORDS if word in said), DrumVoice.SNARE)


def _line(staff: Any) -> Iterator[tuple[BarKey, DrumBar]]:
    measures = list(staff.getElementsByClass("Measure"))
    frames = written_bar_frames(staff)
    drummed = [_drum_bar(measure) for measure in measures]
    for frame, measure in zip(frames, measures, strict=True):
        frame.notes = _filling(measure)
    parts, _, _ = make_parts([frame for frame in frames if frame.notes], Remarks())
    kept = [bar for bar, frame in zip(drummed, frames, strict=True) if frame.notes]
    for key, bar, length in _keyed(parts, kept):
        yield key, _shifted(bar, length)


def _filling(measure: Any) -> list[WrittenNote]:
    """One note as long as the bar: enough for finding parts, pick-ups and endings."""
    length = Fraction(0)
    for element in measure.flatten().notesAndRests:
        if not element.duration.isGrace:
            end = Fraction(element.offset) + Fraction(element.duration.quarterLength)
            length = max(length, end)
    return [WrittenNote(LOW_A, length)] if length else []


def _keyed(
    parts: tuple[Part, ...], bars: list[DrumBar]
) -> Iterator[tuple[BarKey, DrumBar, Fraction]]:
    """Each drum bar with its address and how far a pick-up starts after the bar would."""
    printed = [(part, bar) for part in parts for bar in part.bars]
    for (part, bar), drummed in zip(printed, bars, strict=False):
        shift = bar.metre.bar_length - bar.length if bar.is_pickup else Fraction(0)
        yield (part.number, bar.number, bar.ending), drummed, shift


def _shifted(bar: DrumBar, by: Fraction) -> DrumBar:
    return DrumBar(
        tuple(stroke + by for stroke in bar.strokes),
        tuple((start + by, end + by) for start, end in bar.rolls),
    )


def _drum_bar(measure: Any) -> DrumBar:
    strokes: list[Fraction] = []
    rolls: list[tuple[Fraction, Fraction]] = []
    for element in measure.flatten().notes:
        if element.duration.isGrace or _is_tied_back(element):
            continue
        start = Fraction(element.offset)
        strokes.append(start)
        if any("Tremolo" in sign.classes for sign in element.expressions):
            rolls.append((start, start + Fraction(element.duration.quarterLength)))
    return DrumBar(tuple(dict.fromkeys(strokes)), tuple(rolls))


def _is_tied_back(element: Any) -> bool:
    return element.tie is not None and element.tie.type in ("stop", "continue")
