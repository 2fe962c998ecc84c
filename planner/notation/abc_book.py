"""Where in an ABC file does each tune begin and end?

A tune begins with ``X:`` and ends at an empty line (ABC 2.1, 2.2). What stands before the first
tune is the file header: defaults for every tune. Free text between tunes is passed over. An empty
line inside a tune is read on when what follows can only be the rest of it, with a finding.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from planner.notation.readtune import Remarks

Line = tuple[int, str]
"""A line's number in the file, counted from 1, and its text."""

_FIELD = re.compile(r"[A-Za-z+]:(?![|:])")
_MUSIC = re.compile(r"[\sA-Ga-gzxyZ0-9|:\[\]{}()<>/\\,'^_=~.!$\"-]*")


@dataclass(slots=True)
class TuneLines:
    """The lines of one tune, and what was remarked while cutting the file up."""

    lines: list[Line] = field(default_factory=list)
    remarks: Remarks = field(default_factory=Remarks)


def cut_book(text: str) -> tuple[list[Line], list[TuneLines]]:
    """The file header's lines and the tunes of an ABC text, in order."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    numbered = list(enumerate(lines, start=1))
    if not any(line.startswith("X:") for line in lines):
        return [], _tune_without_number(numbered)
    header: list[Line] = []
    tunes: list[TuneLines] = []
    for block in _blocks(numbered):
        if block[0][1].startswith("X:"):
            tunes.append(TuneLines(block))
        elif not tunes:
            header += [line for line in block if is_field(line[1]) or line[1].startswith("%%")]
        elif all(_is_tune_line(line) for _, line in block):
            _read_on(tunes[-1], block)
    return header, tunes


def is_field(line: str) -> bool:
    """True for a line that begins with a field letter, not with a note before a repeat sign."""
    return _FIELD.match(line) is not None


def looks_like_music(line: str) -> bool:
    """True for a line made of notes and bar lines."""
    return "|" in line and _MUSIC.fullmatch(line.split("%")[0]) is not None


def _blocks(lines: list[Line]) -> list[list[Line]]:
    """Runs of lines between empty ones; an ``X:`` begins a new one too."""
    blocks: list[list[Line]] = []
    is_new = True
    for number, line in lines:
        if not line.strip():
            is_new = True
            continue
        if is_new or line.startswith("X:"):
            blocks.append([])
        is_new = False
        blocks[-1].append((number, line))
    return blocks


def _is_tune_line(line: str) -> bool:
    return is_field(line) or line.startswith("%") or looks_like_music(line)


def _read_on(tune: TuneLines, block: list[Line]) -> None:
    if all(line.startswith("%") for _, line in block):
        return
    text = "an empty line ends a tune in ABC; what follows is read as the rest of it"
    tune.remarks.add("empty_line", text, line=block[0][0] - 1)
    tune.lines += block


def _tune_without_number(numbered: list[Line]) -> list[TuneLines]:
    has_key = any(line.startswith("K:") for _, line in numbered)
    has_music = any(looks_like_music(line) for _, line in numbered)
    if not has_key and not has_music:
        return []
    tune = TuneLines([line for line in numbered if line[1].strip()])
    text = "the tune has no X: line; the whole file is read as one tune"
    tune.remarks.add("no_number", text)
    return [tune]
