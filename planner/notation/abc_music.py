"""How do the signs of an ABC tune body become notes and bars?

One sign after the other, left to right, with the state the standard asks for: metre, unit, key,
accidentals of the bar, gracenotes waiting for their note, a broken rhythm waiting for its second
note, a running tuplet. Broken rhythm and tuplets pass over gracenotes. What the model does not
hold is counted, what makes no sense is remarked on with line and column; nothing raises.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction

from planner.findings import Gravity
from planner.music.scale import Pitch
from planner.music.tempo import Tempo
from planner.notation.abc_bar_signs import BarSign, read_bar_sign, read_passes
from planner.notation.abc_header import Header, key_of, metre_of, tempo_of, unit_of
from planner.notation.abc_pitch import Accidentals
from planner.notation.abc_rhythm import BROKEN, Tuplet, read_tuplet
from planner.notation.abc_tokens import CHORD_NOTE, GRACENOTE, tokens
from planner.notation.abc_values import read_length
from planner.notation.readtune import Remarks
from planner.notation.written import WrittenBar, WrittenNote

# How many bars may one tune have? The longest pipe tunes have a few hundred.
MOST_BARS = 4000
# How long may one note be, in crotchets, before it is a slip of the keyboard?
LONGEST_NOTE = 16
# How fine may a length be? Beyond 1/1024 of a crotchet it is a slip of the keyboard too.
FINEST = 1024
# Fields that may stand in a body and say nothing of the notes, and what to call them.
_WORD_FIELDS = {"w": "lines of words are", "W": "lines of words are", "s": "symbol lines are"}
_SILENT_FIELDS = set("rImXYFH")

_Handler = Callable[["BodyReader", re.Match[str]], None]


class BodyReader:
    """Reads the body of one tune line by line into ``bars``."""

    def __init__(self, header: Header, remarks: Remarks) -> None:
        self.bars: list[WrittenBar] = []
        self.tempo: Tempo | None = header.tempo
        self._remarks = remarks
        self._metre, self._unit = header.metre, header.unit
        self._accidentals = Accidentals(header.key.signature)
        self._breaks_at_line_end = "EOL" in header.line_breaks or "!" in header.line_breaks
        self._bar = WrittenBar(0, self._metre, starts_line=True)
        self._line = 0
        self._line_starts = False
        self._gracenotes: list[Pitch] = []
        self._note: WrittenNote | None = None
        self._is_beside = False
        self._broken: tuple[WrittenNote, str] | None = None
        self._tuplet: Tuplet | None = None
        self._is_joined_line = False
        self._user_symbols = set(header.user_symbols)
        self._voices: list[str] = []
        self._is_silent = self._in_overlay = False

    def read_line(self, number: int, text: str) -> None:
        """Read one line of music."""
        self._line = number
        if not self._is_joined_line and (self.bars or self._bar.notes):
            self._line_starts = self._line_starts or self._breaks_at_line_end
        self._is_joined_line = self._is_beside = False
        for match in tokens(text.strip()):
            kind = match.lastgroup or "stray"
            if (self._is_silent or self._in_overlay) and kind not in ("field", "bar"):
                continue
            _HANDLERS[kind](self, match)

    def read_field(self, number: int, letter: str, value: str) -> None:
        """Read a field that stands in the body, on a line of its own or inline."""
        self._line = number
        self._is_beside = False
        if letter in _SILENT_FIELDS:
            return
        if letter in _WORD_FIELDS:
            self._remarks.leave_out(_WORD_FIELDS[letter])
            return
        change = _FIELD_CHANGES.get(letter)
        if change is None:
            self._remarks.leave_out("text lines inside the music are")
            return
        change(self, value)

    def finish(self) -> list[WrittenBar]:
        """The bars read, when the body is at its end."""
        self._close_bar(BarSign())
        if self._gracenotes:
            self._warn("gracenotes_alone", "the tune ends in gracenotes without a note")
        if self._broken:
            self._warn("broken_rhythm", "a broken rhythm sign has no note after it")
        if self._note is not None and self._note.tied_on:
            self._loosen_tie(self._note)
        return self.bars

    # -- notes --------------------------------------------------------------------------------

    def _on_note(self, match: re.Match[str]) -> None:
        length = read_length(match["length"])
        self._add(self._pitch(match), length, match)

    def _pitch(self, found: re.Match[str]) -> Pitch:
        tie = self._note if self._note is not None and self._note.tied_on else None
        return self._accidentals.pitch(found["accidental"], found["step"], found["octave"], tie)

    def _on_rest(self, match: re.Match[str]) -> None:
        self._add(None, read_length(match["rest_length"]), match)
        self._bar.notes[-1].hidden = match.group()[0] == "x"

    def _add(self, pitch: Pitch | None, multiple: Fraction | None, match: re.Match[str]) -> None:
        if multiple is None:
            self._refuse("note_length", f"the length of {match.group()} makes no sense", match)
            multiple = Fraction(1)
        length = self._unit if multiple == 1 else self._unit * multiple
        if length > LONGEST_NOTE or length.denominator > FINEST:
            text = f"the note {match.group()[:20]} is too long or too short to be meant"
            self._refuse("note_length", text, match)
        note = WrittenNote(pitch, length)
        if self._gracenotes:
            note.gracenotes, self._gracenotes = tuple(self._gracenotes), []
        if self._tuplet is not None:
            note.length, note.tuplet = length * self._tuplet.factor, self._tuplet.ratio
            self._tuplet = self._tuplet.after_one
        if self._broken is not None:
            self._break_rhythm(note)
        self._place(note)

    def _place(self, note: WrittenNote) -> None:
        before = self._note
        if before is not None and before.tied_on and before.pitch != note.pitch:
            self._loosen_tie(before)
        if self._is_beside and before is not None and self._bar.notes:
            before.joined = True
        if not self._bar.notes:
            self._bar.metre, self._bar.line = self._metre, self._line
            self._bar.starts_line = self._line_starts or not self.bars
            self._line_starts = False
        self._bar.notes.append(note)
        self._note, self._is_beside = note, True

    def _on_long_rest(self, match: re.Match[str]) -> None:
        count = int(match.group()[1:5] or 1)
        for _ in range(min(count, 64)):
            self._place(WrittenNote(None, self._metre.bar_length))
            if count > 1:
                self._close_bar(BarSign())

    def _on_chord(self, match: re.Match[str]) -> None:
        inside, _, after = match.group()[1:].partition("]")
        notes = list(CHORD_NOTE.finditer(inside))
        if not notes:
            self._on_stray(match)
            return
        self._warn("chord", f"of the chord {match.group()} only its first note is kept", match)
        first = notes[0]
        pitch = self._pitch(first)
        if "-" in inside:
            after = after.replace("-", "")
        inner, outer = read_length(first["length"]), read_length(after)
        self._add(pitch, inner * outer if inner and outer else None, match)
        if "-" in inside and self._note is not None:
            self._note.tied_on = True

    def _on_gracenotes(self, match: re.Match[str]) -> None:
        for found in GRACENOTE.finditer(match.group()[1:-1]):
            if found["other"]:
                text = f"the sign {found['other']} among gracenotes is not read"
                self._warn("stray_sign", text, match)
                continue
            step, octave = found["step"], found["octave"]
            self._gracenotes.append(
                self._accidentals.pitch(found["accidental"], step, octave, None)
            )

    # -- rhythm -------------------------------------------------------------------------------

    def _on_broken(self, match: re.Match[str]) -> None:
        if self._note is None or self._broken is not None or len(match.group()) > 3:
            text = f"the broken rhythm sign {match.group()[:8]} has no meaning here"
            self._warn("broken_rhythm", text, match)
            return
        self._broken = (self._note, match.group())
        self._is_beside = True

    def _break_rhythm(self, second: WrittenNote) -> None:
        assert self._broken is not None
        first, sign = self._broken
        self._broken = None
        long, short = BROKEN[len(sign)]
        before, after = (long, short) if sign[0] == ">" else (short, long)
        first.length *= before
        second.length *= after

    def _on_tuplet(self, match: re.Match[str]) -> None:
        self._tuplet = read_tuplet(match.group(), self._metre.is_compound)
        if self._tuplet is None:
            self._warn("tuplet", f"the tuplet {match.group()} has no meaning", match)

    def _on_tie(self, match: re.Match[str]) -> None:
        if self._note is None or self._note.pitch is None:
            self._warn("tie", "a tie has no note before it", match)
            return
        self._note.tied_on = True

    def _loosen_tie(self, note: WrittenNote) -> None:
        note.tied_on = False
        self._warn("tie", "a tie does not lead to the same note and is left out")

    # -- bars ---------------------------------------------------------------------------------

    def _on_bar(self, match: re.Match[str]) -> None:
        self._in_overlay = False
        if self._is_silent:
            return
        sign = read_bar_sign(match.group())
        if sign is None:
            self._warn(
                "bar_sign", f"the bar line {match.group()[:12]} is read as a plain one", match
            )
            sign = BarSign()
        self._close_bar(sign)

    def _close_bar(self, sign: BarSign) -> None:
        self._accidentals.clear()
        self._is_beside = False
        if self._bar.notes:
            self.bars.append(self._bar)
            self._bar = WrittenBar(len(self.bars), self._metre)
        if self.bars:
            last = self.bars[-1]
            last.closes = max(last.closes, sign.closes)
            last.double_after = last.double_after or sign.is_double
        self._bar.opens = max(self._bar.opens, sign.opens)
        if len(self.bars) == MOST_BARS:
            self._refuse("too_many_bars", f"the tune has more than {MOST_BARS} bars")
            self._is_silent = True

    def _on_ending(self, match: re.Match[str]) -> None:
        passes = read_passes(match.group().lstrip("["))
        if passes is None or (self._bar.notes and match.group()[0] != "["):
            self._on_stray(match)
            return
        if self._bar.notes:
            self._close_bar(BarSign())
        self._bar.ending = passes

    # -- the rest -----------------------------------------------------------------------------

    def _on_space(self, match: re.Match[str]) -> None:
        if self._broken is None:
            self._is_beside = False

    def _on_field(self, match: re.Match[str]) -> None:
        inside = match.group()[1:-1]
        self.read_field(self._line, inside[0], inside[2:])

    def _on_line_break(self, match: re.Match[str]) -> None:
        self._line_starts = True
        self._is_beside = False

    def _on_continued(self, match: re.Match[str]) -> None:
        self._is_joined_line = True

    def _on_overlay(self, match: re.Match[str]) -> None:
        self._warn("second_voice", "a second voice in the bar is left out", match)
        self._in_overlay = True

    def _on_slur(self, match: re.Match[str]) -> None:
        if "(" in match.group():
            self._remarks.leave_out("slurs are")

    def _on_decoration(self, match: re.Match[str]) -> None:
        self._remarks.leave_out("decorations are")

    def _on_text(self, match: re.Match[str]) -> None:
        is_annotation = match.group()[1:2] in ("^", "_", "<", ">", "@")
        self._remarks.leave_out("annotations are" if is_annotation else "chord symbols are")

    def _on_glue(self, match: re.Match[str]) -> None:
        """A sign that only spaces the print."""

    def _on_stray(self, match: re.Match[str]) -> None:
        sign = match.group()[:20]
        if sign in _OPENERS:
            self._refuse("unclosed", f"{_OPENERS[sign]} opened here and never closed", match)
            return
        if sign in self._user_symbols:
            self._remarks.leave_out("decorations are")
            return
        self._warn("stray_sign", f"the sign {sign} is not music and is passed over", match)

    # -- fields -------------------------------------------------------------------------------

    def _change_metre(self, value: str) -> None:
        self._metre = metre_of(value, self._line, self._remarks) or self._metre

    def _change_unit(self, value: str) -> None:
        self._unit = unit_of(value, self._line, self._remarks) or self._unit

    def _change_key(self, value: str) -> None:
        signature = key_of(value, self._line, self._remarks).signature
        self._accidentals = Accidentals(signature)

    def _change_tempo(self, value: str) -> None:
        is_first = self.tempo is None and not self.bars and not self._bar.notes
        tempo = tempo_of([(self._line, value)], self._unit, self._metre, self._remarks)
        if is_first:
            self.tempo = tempo
        elif tempo is not None and tempo != self.tempo:
            text = f"the change of tempo to {tempo.bpm:g} is left out; a tune has one tempo"
            self._warn("tempo_change", text)

    def _change_part(self, value: str) -> None:
        self._close_bar(BarSign())
        self._bar.part_mark = value.strip()[:20] or "?"

    def _add_user_symbol(self, value: str) -> None:
        self._user_symbols.add(value.strip()[:1])

    def _change_voice(self, value: str) -> None:
        voice = value.split()[0] if value.split() else "1"
        if not self._voices:
            self._voices.append(voice)
        self._is_silent = voice != self._voices[0]
        if self._is_silent and voice not in self._voices:
            self._voices.append(voice)
            text = f"the voice {voice[:20]} is left out; the first voice is the tune"
            self._warn("second_voice", text)

    # -- remarks ------------------------------------------------------------------------------

    def _warn(self, code: str, text: str, match: re.Match[str] | None = None) -> None:
        self._remark(code, text, Gravity.WARN, match)

    def _refuse(self, code: str, text: str, match: re.Match[str] | None = None) -> None:
        self._remark(code, text, Gravity.REFUSE, match)

    def _remark(self, code: str, text: str, gravity: Gravity, match: re.Match[str] | None) -> None:
        column = match.start() + 1 if match else 0
        index = len(self.bars)
        self._remarks.add(code, text, gravity, self._line, column, index)


_OPENERS = {"{": "gracenotes are", "[": "a chord or field is", '"': "a text is"}

_HANDLERS: dict[str, _Handler] = {
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
