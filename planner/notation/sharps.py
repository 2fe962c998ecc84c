"""Which sharps does an imported score write, and where are those of the chanter meant without?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from planner.notation.readtune import Remarks
from planner.notation.written import WrittenBar


def sharps_of(inside: Sequence[Any]) -> int | None:
    """The sharps of the first key signature among these elements; None without one."""
    signatures = (element for element in inside if "KeySignature" in element.classes)
    return next((int(signature.sharps) for signature in signatures), None)


def sharpen(bars: list[WrittenBar], sharps: int | None, remarks: Remarks) -> None:
    """Where neither key nor notes say sharp or natural, C and F are those of the chanter."""
    notes = [note for bar in bars for note in bar.notes]
    pitches = [p for note in notes for p in (note.pitch, *note.gracenotes) if p is not None]
    named = [pitch for pitch in pitches if pitch.step in ("C", "F")]
    if sharps or not named or any(pitch.alter for pitch in pitches):
        return
    text = "the file writes no sharps at all, so C and F are taken as the chanter's"
    remarks.add("sharps_unwritten", text)
    for note in notes:
        note.gracenotes = tuple(
            replace(pitch, alter=1) if pitch.step in ("C", "F") else pitch
            for pitch in note.gracenotes
        )
        if note.pitch is not None and note.pitch.step in ("C", "F"):
            note.pitch = replace(note.pitch, alter=1)
