"""A drum score as JSON text and back: what is kept when a score is entered bar by bar.

Positions are crotchets from the start of a full bar, as fractions in text such as ``3/2``.
"""

from __future__ import annotations

import json
from fractions import Fraction
from typing import Any

from planner.errors import NotationError
from planner.music.drums import BarKey, DrumBar, DrumScore, DrumVoice

LONGEST_BAR = Fraction(32)
MOST_BARS = 2_000


def write_drum_text(score: DrumScore) -> str:
    """The score as JSON text; the same score gives the same text."""
    lines = [
        {"voice": voice.value, "bars": [_bar(key, line[key]) for key in sorted(line)]}
        for voice in DrumVoice
        if (line := score.lines.get(voice))
    ]
    return json.dumps({"lines": lines}, indent=1) + "\n"


def read_drum_text(name: str, text: str) -> DrumScore:
    """The score of JSON text; an empty score when it has no lines.

    Raises:
        NotationError: it is no JSON, or not of this shape.
    """
    try:
        told = json.loads(text)
        lines = {DrumVoice(line["voice"]): _line(line["bars"]) for line in told["lines"]}
    except (ValueError, KeyError, TypeError, ZeroDivisionError, RecursionError) as error:
        remedy = "enter it on the grid, or send MusicXML"
        raise NotationError(name, "", "this is no drum score in JSON", remedy) from error
    return DrumScore(lines, name)


def _bar(key: BarKey, bar: DrumBar) -> dict[str, Any]:
    return {
        **dict(zip(("part", "bar", "ending"), key, strict=True)),
        "strokes": [str(position) for position in bar.strokes],
        "rolls": [[str(start), str(end)] for start, end in bar.rolls],
        "unison": [str(position) for position in bar.unison],
    }


def _line(bars: list[Any]) -> dict[BarKey, DrumBar]:
    if len(bars) > MOST_BARS:
        raise ValueError(len(bars))
    return {(int(b["part"]), int(b["bar"]), int(b["ending"])): _read_bar(b) for b in bars}


def _read_bar(told: dict[str, Any]) -> DrumBar:
    rolls = tuple((_position(start), _position(end)) for start, end in told.get("rolls", []))
    if any(start >= end for start, end in rolls):
        raise ValueError("a roll ends before it begins")
    return DrumBar(
        tuple(sorted(_position(each) for each in told.get("strokes", []))),
        rolls,
        tuple(sorted(_position(each) for each in told.get("unison", []))),
    )


def _position(text: object) -> Fraction:
    position = Fraction(str(text)[:20])
    if not 0 <= position <= LONGEST_BAR:
        raise ValueError(text)
    return position
