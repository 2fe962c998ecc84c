"""How do the signs of an ABC tune body become bars?

One sign after the other, left to right. ``abc_melody.py`` makes the notes; bar lines, endings,
lines of music, fields and everything that is left out are dealt with here. What makes no sense is
remarked on with line and column; nothing raises.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from planner.music.tempo import Tempo
from planner.notation.abc_bar_signs import BarSign, read_bar_sign, read_passes
from planner.notation.abc_header import Header, key_of, metre_of, tempo_of, unit_of
from planner.notation.abc_melody import Melody
from planner.notation.abc_rhythm import read_tuplet
from planner.notation.abc_tokens import tokens
from planner.notation.line_remarks import LineRemarks
from planner.notation.readtune import Remarks
from planner.notation.written import WrittenBar

# How many bars may one tune have? The longest pipe tunes have a few hundred.
MOST_BARS = 4000
# How many bars of rest may one sign stand for?
MOST_RESTS = 64
_OPENERS = {"{": "gracenotes are", "[": "a chord or field is", '"': "a text is"}
# Fields that may stand in a body and say nothing of the notes, and what to call them.
_WORD_FIELDS = {"w": "lines of words are", "W": "lines of words are", "s": "symbol lines are"}
_SILENT_FIELDS = set("rImXYFH")


class BodyReader:
    """Reads the body of one tune line by line into ``bars``."""

    def __init__(self, header: Header, remarks: Remarks) -> None:
        self.bars: list[WrittenBar] = []
        self.tempo: Tempo | None = header.tempo
        self._remarks = LineRemarks(remarks)
        self._metre = header.metre
        self._melody = Melody(header.unit, header.key.signature, self._remarks)
        self._breaks_at_line_end = "EOL" in header.line_breaks or "!" in header.line_breaks
        self._user_symbols = set(header.user_symbols)
        self._voices: list[str] = []
        self._line_starts = self._is_joined_line = False
        self._is_silent = self._in_overlay = self._is_full = False
        self._bar = WrittenBar(0, self._metre)
        self._melody.begin_bar(self._bar)

    def read_line(self, number: int, text: str) -> None:
        """Read one line of music."""
        self._remarks.line = number
        if not self._is_joined_line and (self.bars or self._bar.notes):
            self._line_starts = self._line_starts or self._breaks_at_line_end
        self._is_joined_line = self._melody.is_beside = False
        for match in tokens(text.strip()):
            kind = match.lastgroup or "stray"
            if (self._is_silent or self._in_overlay) and kind not in ("field", "bar"):
                continue
            bar = self._bar
            is_new = not bar.notes
            if is_new:
                self._begin_bar()
            _HANDLERS[kind](self, match)
            if is_new and bar.notes:
                self._line_starts = False

    def read_field(self, number: int, letter: str, value: str) -> None:
        """Read a field that stands in the body, on a line of its own or inline."""
        self._remarks.line = number
        self._melody.is_beside = False
        if letter in _SILENT_FIELDS:
            return
        change = _FIELD_CHANGES.get(letter)
        if change is not None:
            change(self, value)
            return
        self._leave_out(_WORD_FIELDS.get(letter, "text lines inside the music are"))

    def finish(self) -> list[WrittenBar]:
        """The bars read, when the body is at its end."""
        self._close_bar(BarSign())
        self._melody.finish()
        return self.bars

    # -- bars ---------------------------------------------------------------------------------

    def _begin_bar(self) -> None:
        """Metre, line and line break are those of a bar's first note."""
        self._bar.metre, self._bar.line = self._metre, self._remarks.line
        self._bar.starts_line = self._line_starts or not self.bars

    def _on_bar(self, match: re.Match[str]) -> None:
        self._in_overlay = False
        if self._is_silent:
            return
        sign = read_bar_sign(match.group())
        if sign is None:
            text = f"the bar line {match.group()[:12]} is read as a plain one"
            self._remarks.warn("bar_sign", text, match)
        self._close_bar(sign or BarSign())

    def _close_bar(self, sign: BarSign) -> None:
        if self._bar.notes and not self._is_full:
            self.bars.append(self._bar)
            self._remarks.bar_index = len(self.bars)
            self._bar = WrittenBar(len(self.bars), self._metre)
        self._melody.begin_bar(self._bar)
        if self.bars:
            last = self.bars[-1]
            last.closes = max(last.closes, sign.closes)
            last.double_after = last.double_after or sign.is_double
        self._bar.opens = max(self._bar.opens, sign.opens)
        if len(self.bars) == MOST_BARS and not self._is_full:
            text = f"the tune has more than {MOST_BARS} bars; split it"
            self._remarks.refuse("too_many_bars", text)
            self._is_full = True

    def _on_ending(self, match: re.Match[str]) -> None:
        passes = read_passes(match.group().lstrip("["))
        is_bare = match.group()[0] != "["
        if passes is None or (is_bare and (self._bar.notes or not _follows_a_bar_line(match))):
            self._on_stray(match)
            return
        if self._bar.notes:
            self._close_bar(BarSign())
        self._bar.ending = passes

    def _on_long_rest(self, match: re.Match[str]) -> None:
        count = int(match.group()[1:] or 1)
        if count > MOST_RESTS:
            text = f"{count} bars of rest are read as {MOST_RESTS}"
            self._remarks.warn("long_rest", text, match)
        for number in range(min(count, MOST_RESTS)):
            if number:
                self._close_bar(BarSign())
                self._begin_bar()
            self._melody.add_whole_rest(self._metre.bar_length)
            self._line_starts = False

    # -- signs --------------------------------------------------------------------------------

    def _on_note(self, match: re.Match[str]) -> None:
        self._melody.add_note(match)

    def _on_rest(self, match: re.Match[str]) -> None:
        self._melody.add_rest(match)

    def _on_chord(self, match: re.Match[str]) -> None:
        self._melody.add_chord(match)

    def _on_gracenotes(self, match: re.Match[str]) -> None:
        self._melody.add_gracenotes(match)

    def _on_broken(self, match: re.Match[str]) -> None:
        self._melody.break_rhythm(match)

    def _on_tie(self, match: re.Match[str]) -> None:
        self._melody.tie(match)

    def _on_space(self, match: re.Match[str]) -> None:
        self._melody.separate()

    def _on_tuplet(self, match: re.Match[str]) -> None:
        self._melody.tuplet = read_tuplet(match.group(), self._metre.is_compound)
        if self._melody.tuplet is None:
            text = f"the tuplet {match.group()} has no meaning"
            self._remarks.warn("tuplet", text, match)

    def _on_field(self, match: re.Match[str]) -> None:
        inside = match.group()[1:-1]
        self.read_field(self._remarks.line, inside[0], inside[2:])

    def _on_line_break(self, match: re.Match[str]) -> None:
        self._line_starts = True
        self._melody.is_beside = False

    def _on_continued(self, match: re.Match[str]) -> None:
        self._is_joined_line = True

    def _on_overlay(self, match: re.Match[str]) -> None:
        self._remarks.warn("second_voice", "a second voice in the bar is left out", match)
        self._in_overlay = True

    def _on_slur(self, match: re.Match[str]) -> None:
        if "(" in match.group():
            self._leave_out("slurs are")

    def _on_decoration(self, match: re.Match[str]) -> None:
        self._leave_out("decorations are")

    def _on_text(self, match: re.Match[str]) -> None:
        is_annotation = match.group()[1:2] in ("^", "_", "<", ">", "@")
        self._leave_out("annotations are" if is_annotation else "chord symbols are")

    def _on_glue(self, match: re.Match[str]) -> None:
        """A sign that only spaces the print."""

    def _on_stray(self, match: re.Match[str]) -> None:
        sign = match.group()[:20]
        if sign in self._user_symbols:
            self._leave_out("decorations are")
        elif sign in _OPENERS:
            text = f"{_OPENERS[sign]} opened here and never closed"
            self._remarks.refuse("unclosed", text, match)
        else:
            text = f"the sign {sign} is not music and is passed over"
            self._remarks.warn("stray_sign", text, match)

    def _leave_out(self, kind: str) -> None:
        self._remarks.remarks.leave_out(kind)

    # -- fields -------------------------------------------------------------------------------

    def _change_metre(self, value: str) -> None:
        remarks = self._remarks
        self._metre = metre_of(value, remarks.line, remarks.remarks) or self._metre

    def _change_unit(self, value: str) -> None:
        unit = unit_of(value, self._remarks.line, self._remarks.remarks)
        if unit is not None:
            self._melody.set_unit(unit)

    def _change_key(self, value: str) -> None:
        key = key_of(value, self._remarks.line, self._remarks.remarks)
        self._melody.set_key(key.signature)

    def _change_tempo(self, value: str) -> None:
        line, unit = self._remarks.line, self._melody.unit
        tempo = tempo_of([(line, value)], unit, self._metre, self._remarks.remarks)
        if self.tempo is None and not self.bars and not self._bar.notes:
            self.tempo = tempo
        elif tempo is not None and tempo != self.tempo:
            text = f"the change of tempo to {tempo.bpm:g} is left out; a tune has one tempo"
            self._remarks.warn("tempo_change", text)

    def _change_part(self, value: str) -> None:
        self._close_bar(BarSign())
        self._bar.part_mark = value.strip()[:20] or "?"

    def _change_voice(self, value: str) -> None:
        voice = value.split()[0] if value.split() else "1"
        if not self._voices:
            self._voices.append(voice)
        self._is_silent = voice != self._voices[0]
        if self._is_silent and voice not in self._voices:
            self._voices.append(voice)
            text = f"the voice {voice[:20]} is left out; the first voice is the tune"
            self._remarks.warn("second_voice", text)

    def _add_user_symbol(self, value: str) -> None:
        self._user_symbols.add(value.strip()[:1])


def _follows_a_bar_line(match: re.Match[str]) -> bool:
    """True for a number right after a bar line, a field or a text, or at the start of a line."""
    before = match.string[: match.start()].rstrip()
    return not before or before[-1] in '|:]"!+'


_HANDLERS: dict[str, Callable[[BodyReader, re.Match[str]], None]] = {
    "note": BodyReader._on_note,
    "space": BodyReader._on_space,
    "gracenotes": BodyReader._on_gracenotes,
    "bar": BodyReader._on_bar,
    "ending": BodyReader._on_ending,
    "field": BodyReader._on_field,
    "chord": BodyReader._on_chord,
    "long_rest": BodyReader._on_long_rest,
    "rest": BodyReader._on_rest,
    "broken": BodyReader._on_broken,
    "tuplet": BodyReader._on_tuplet,
    "slur": BodyReader._on_slur,
    "tie": BodyReader._on_tie,
    "text": BodyReader._on_text,
    "decoration": BodyReader._on_decoration,
    "line_break": BodyReader._on_line_break,
    "glue": BodyReader._on_glue,
    "continued": BodyReader._on_continued,
    "overlay": BodyReader._on_overlay,
    "stray": BodyReader._on_stray,
}

_FIELD_CHANGES: dict[str, Callable[[BodyReader, str], None]] = {
    "M": BodyReader._change_metre,
    "L": BodyReader._change_unit,
    "K": BodyReader._change_key,
    "Q": BodyReader._change_tempo,
    "P": BodyReader._change_part,
    "V": BodyReader._change_voice,
    "U": BodyReader._add_user_symbol,
}
