"""Which further staves of a score are pipe harmony, and how do they lie beside the tune?

A harmony is kept bar for bar beside the melody, in its parts, repeats and endings: what is planned
is the melody, the harmony follows it. A staff whose bars do not match, or whose notes the chanter
does not have, is left out with a finding that says why.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from planner.findings import Gravity
from planner.music.tempo import Metre
from planner.music.tune import Bar, Note, Part
from planner.notation.readtune import Remarks
from planner.notation.score_bars import written_bars
from planner.notation.sharps import sharpen, sharps_of
from planner.notation.written import WrittenBar, finished_notes

Harmony = tuple[Part, ...]


def harmonies_of(
    staves: Sequence[Any], parts: tuple[Part, ...], metre: Metre, remarks: Remarks
) -> Iterator[tuple[Part, ...]]:
    """The further staves that are pipe harmony; every other is named with what is the matter."""
    for number, staff in enumerate(staves, start=2):
        aside = Remarks()
        bars = written_bars(staff, aside, metre)
        if "drum notes are" in aside.left_out:
            found: tuple[Part, ...] | str = "it holds drum notes; add it as the drum score"
        else:
            sharpen(bars, sharps_of(list(staff.recurse())), aside)
            found = harmony_of(bars, parts)
        if isinstance(found, str):
            remarks.add("second_voice", f"staff {number} is left out: {found}")
        else:
            text = f"staff {number} is kept as pipe harmony; the first staff is the tune"
            remarks.add("harmony", text, Gravity.NOTE)
            yield found


def harmony_of(written: Sequence[WrittenBar], parts: tuple[Part, ...]) -> Harmony | str:
    """The bars of a staff in the melody's parts, or the reason why they cannot be."""
    places = [(part, bar) for part in parts for bar in part.bars]
    if len(written) != len(places):
        return f"it has {len(written)} bars and the tune {len(places)}"
    filled = []
    for bar, (part, own) in zip(written, places, strict=True):
        if bar.notes and bar.length != own.length:
            return f"part {part.number}, bar {own.number} is not as long as in the tune"
        if off := _off_the_chanter(bar):
            return f"it needs a {off}, which the chanter does not have"
        notes = finished_notes(bar) if bar.notes else (Note(None, own.length),)
        filled.append(replace(own, notes=notes))
    return _in_parts(filled, parts)


def _off_the_chanter(bar: WrittenBar) -> str:
    pitches = [pitch for note in bar.notes for pitch in (note.pitch, *note.gracenotes) if pitch]
    return next((pitch.name for pitch in pitches if pitch.chanter_name is None), "")


def _in_parts(bars: Sequence[Bar], parts: tuple[Part, ...]) -> Harmony:
    waiting = iter(bars)
    return tuple(replace(part, bars=tuple(next(waiting) for _ in part.bars)) for part in parts)
