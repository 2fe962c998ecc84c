"""What does our own reader hear in an ABC tune, bar by bar, with what the file says there?

The bars are those that the paper has, in its order and before parts are made of them, so that a
difference to another reader can be laid against the signs of one bar.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from planner.notation.abc import BodyReader
from planner.notation.abc_book import cut_book, is_field
from planner.notation.abc_header import DIRECTIVE, Fields, collect_fields, read_header
from planner.notation.abc_rhythm import read_tuplet
from planner.notation.abc_text import without_comment
from planner.notation.abc_tokens import tokens
from planner.notation.readtune import Remarks
from planner.notation.written import WrittenBar
from scripts.other_readers import Event


@dataclass(slots=True)
class HeardBar:
    """One bar of our reading: its events, and the signs the others get, bar line to bar line."""

    events: list[Event] = field(default_factory=list)
    source: str = ""
    is_long: bool = False


@dataclass(slots=True)
class OurReading:
    """The bars of one tune, its head as written, and whether it may not be stored as it is."""

    head: str
    bars: list[HeardBar]
    is_refused: bool = False


def our_reading(text: str) -> OurReading:
    """Our reading of the one tune of a text."""
    fields: Fields = {}
    head, lines = _head_and_body(text, fields)
    remarks = Remarks()
    body = BodyReader(read_header(fields, {}, remarks), remarks)
    for number, line in lines:
        if is_field(line):
            body.read_field(number, line[0], line[2:].strip())
        elif line.strip():
            body.read_line(number, line)
    written = body.finish()
    bars = [HeardBar(_events(bar), "", bar.length > bar.metre.bar_length) for bar in written]
    for bar, source in zip(bars, _sources(bare(text), len(bars)), strict=True):
        bar.source = source
    return OurReading(head, bars, remarks.is_refused)


def _head_and_body(text: str, fields: Fields) -> tuple[str, list[tuple[int, str]]]:
    """The lines of the head as written, and those of the body without remarks, numbered."""
    (lines,) = cut_book(text)[1]
    count = collect_fields(lines.lines, fields)
    body = [
        (number, without_comment(raw))
        for number, raw in lines.lines[count:]
        if not raw.startswith("%") and not DIRECTIVE.match(raw)
    ]
    return "\n".join(line for _, line in lines.lines[:count]), body


def _sources(text: str, count: int) -> list[str]:
    """What the file says in each bar; nothing where the bars cannot be told apart."""
    cutter = _Cutter()
    for _, line in _head_and_body(text, {})[1]:
        if is_field(line):
            cutter.field(line)
        elif line.strip():
            cutter.line(line)
    sources = cutter.finish()
    return sources if len(sources) == count else [""] * count


def _events(bar: WrittenBar) -> list[Event]:
    events: list[Event] = [("opens", "")] if bar.opens else []
    if bar.ending:
        events.append(("ending", ",".join(map(str, bar.ending))))
    for note in bar.notes:
        events += [("grace", str(pitch.midi)) for pitch in note.gracenotes]
        pitch = str(note.pitch.midi) if note.pitch else "rest"
        events.append(("note", f"{pitch} {note.length}"))
    if bar.closes:
        events.append(("closes", ""))
    return events


class _Cutter:
    """Cuts a body's text where the reader begins a new bar."""

    def __init__(self) -> None:
        self._bars: list[str] = []
        self._text = ""
        self._has_notes = self._is_silent = self._in_overlay = False
        self._first_voice: str | None = None

    def field(self, line: str, is_inline: bool = False) -> None:
        if line[0] == "V":
            voice = line[2:].split()[:1] or ["1"]
            self._first_voice = self._first_voice or voice[0]
            self._is_silent = voice[0] != self._first_voice
        if line[0] == "P":
            self._close("")
        self._text += f"[{line}]" if is_inline else f"\n{line}\n"

    def line(self, line: str) -> None:
        self._text += "\n"
        for match in tokens(line.strip()):
            kind, sign = match.lastgroup or "stray", match.group()
            if kind == "field":
                self.field(sign[1:-1], is_inline=True)
            elif kind == "bar" and not self._is_silent:
                self._in_overlay = False
                self._close(sign)
            elif not self._is_silent and not self._in_overlay:
                self._sign(kind, sign)

    def _sign(self, kind: str, sign: str) -> None:
        self._in_overlay = kind == "overlay"
        if kind == "ending" and self._has_notes and sign[0] == "[":
            self._close("")
        if kind == "long_rest":
            for _ in range(int(sign[1:] or 1) - 1):
                self._has_notes = True
                self._close(sign)
        self._text += sign
        self._has_notes |= kind in ("note", "rest", "chord", "long_rest")

    def finish(self) -> list[str]:
        self._close("")
        return self._bars

    def _close(self, sign: str) -> None:
        if self._has_notes:
            self._bars.append(self._text + sign)
            self._text = ""
        elif self._bars:
            self._bars[-1] += sign
        self._has_notes = False
        self._text += sign


_NO_SOUND = {"gracenotes", "decoration", "slur", "text"}
_ACCIDENTAL = re.compile(r"[\^_=]")
_PIPE_KEY = re.compile(r"K:\s*H[Pp]\b")
_VOICE = re.compile(r"\[?V:\s*([^\s\]]*)")


def bare(text: str) -> str:
    """A tune without what changes neither pitch nor length, and with its first voice only.

    Gracenotes (4.12), decorations (4.14), slurs (4.11), chord symbols and annotations (4.18, 4.19).
    The pipe keys become D, which has the same two sharps (3.1.14).
    """
    lines = [_PIPE_KEY.sub("K:D", line) for line in text.split("\n")]
    body = next((n for n, line in enumerate(lines, 1) if line.startswith("K:")), len(lines))
    kept, first, is_other = lines[:body], "", False
    for line in lines[body:]:
        voice = _VOICE.match(line)
        if voice is not None:
            first = first or voice[1]
            is_other = voice[1] != first
            line = line[voice.end() :].removeprefix("]") if line[0] == "[" else ""
        if not is_other and (line.strip() or voice is None):
            kept.append(line if is_field(line) or line.startswith("%") else _without_signs(line))
    return "\n".join(line for line in kept if not line.startswith("V:"))


def _says_nothing(sign: re.Match[str]) -> bool:
    """True for a sign that changes no note; an accidental among gracenotes holds for the bar."""
    is_silent = sign.lastgroup in _NO_SOUND
    return is_silent and not (sign.lastgroup == "gracenotes" and _ACCIDENTAL.search(sign.group()))


def _without_signs(line: str) -> str:
    """The line, with a space around each tuplet: spaces part beams and nothing else (4.7)."""
    signs = [sign for sign in tokens(without_comment(line)) if not _says_nothing(sign)]
    text, left = "", 0
    for place, sign in enumerate(signs):
        following = signs[place + 1].lastgroup if place + 1 < len(signs) else None
        if sign.lastgroup == "tuplet":
            tuplet = read_tuplet(sign.group(), is_compound=False)
            left = tuplet.left if tuplet else 0
            text += " "
        text += sign.group()
        if left and sign.lastgroup in ("note", "rest", "chord"):
            left -= 1
            is_bound = following in ("tie", "broken", "space")
            text += "" if left or is_bound else " "
    return text
