"""How do the notes of an ABC body get their pitch, length, gracenotes, ties and beams?

Holds what the standard lets wait from one sign to the next: gracenotes for their note, a broken
rhythm for its second note, a running tuplet, a tie, the accidentals of the bar. Broken rhythm and
tuplets pass over gracenotes (ABC 2.1, 4.12).
"""

from __future__ import annotations

import re
from fractions import Fraction

from planner.music.scale import Pitch
from planner.notation.abc_pitch import Accidentals
from planner.notation.abc_rhythm import BROKEN, Tuplet
from planner.notation.abc_tokens import CHORD_NOTE, GRACENOTE
from planner.notation.abc_values import read_length
from planner.notation.line_remarks import LineRemarks
from planner.notation.written import WrittenBar, WrittenNote

# How long may one note be, in crotchets, before it is a slip of the keyboard?
LONGEST_NOTE = 16
# How fine may a length be? Beyond 1/1024 of a crotchet it is a slip of the keyboard too.
FINEST = 1024


class Melody:
    """The notes being read into ``bar``; ``last`` is the note or rest before."""

    def __init__(self, unit: Fraction, signature: dict[str, int], remarks: LineRemarks) -> None:
        self.bar: WrittenBar
        self.last: WrittenNote | None = None
        self.tuplet: Tuplet | None = None
        self.is_beside = False
        self._remarks = remarks
        self._gracenotes: tuple[Pitch, ...] = ()
        self._broken: tuple[WrittenNote, str] | None = None
        self.set_unit(unit)
        self.set_key(signature)

    def set_unit(self, unit: Fraction) -> None:
        """Change the unit note length, in crotchets."""
        self.unit = unit
        self._lengths: dict[str, Fraction] = {}

    def set_key(self, signature: dict[str, int]) -> None:
        """Change the key."""
        self._accidentals = Accidentals(signature)
        self._groups: dict[str, tuple[Pitch, ...]] = {}

    def begin_bar(self, bar: WrittenBar) -> None:
        """Go on in a new bar: accidentals are forgotten and beams end."""
        self.bar = bar
        self.is_beside = False
        self._accidentals.clear()

    def finish(self) -> None:
        """Remark on what still waits when the body is at its end."""
        if self._gracenotes:
            self._remarks.warn("gracenotes_alone", "the tune ends in gracenotes without a note")
        if self._broken:
            self._remarks.warn("broken_rhythm", "a broken rhythm sign has no note after it")
        if self.last is not None and self.last.tied_on:
            self._loosen_tie(self.last)

    def add_note(self, match: re.Match[str]) -> None:
        """A note of the tune."""
        self._add(self._pitch(match), self._length(match["length"], match))

    def add_rest(self, match: re.Match[str]) -> None:
        """A rest; an invisible one may stand for a bar without notes on file."""
        self._add(None, self._length(match["rest_length"], match))
        self.bar.notes[-1].hidden = match.group()[0] == "x"

    def add_chord(self, match: re.Match[str]) -> None:
        """Of a chord, its first note; answers nothing, but says so."""
        inside, _, after = match.group()[1:].partition("]")
        first = CHORD_NOTE.search(inside)
        if first is None:
            self._remarks.warn("stray_sign", f"the sign {match.group()[:20]} is not music", match)
            return
        text = f"of the chord {match.group()} only its first note is kept"
        self._remarks.warn("chord", text, match)
        inner = self._length(first["length"], match)
        outer = self._length(after, match) / self.unit
        self._add(self._pitch(first), inner * outer)
        self.bar.notes[-1].tied_on = "-" in inside

    def add_whole_rest(self, length: Fraction) -> None:
        """A rest of a whole bar."""
        self._place(WrittenNote(None, length))

    def add_gracenotes(self, match: re.Match[str]) -> None:
        """A group of gracenotes, for the note that comes next."""
        group = match.group()
        if group not in self._groups:
            pitches = self._gracenote_pitches(match)
            if self._accidentals.has_any_in_bar:
                self._gracenotes += pitches
                return
            self._groups[group] = pitches
        self._gracenotes += self._groups[group]

    def break_rhythm(self, match: re.Match[str]) -> None:
        """A broken rhythm sign between the last note and the next."""
        if self.last is None or self._broken is not None or len(match.group()) > 3:
            text = f"the broken rhythm sign {match.group()[:8]} has no meaning here"
            self._remarks.warn("broken_rhythm", text, match)
            return
        self._broken = (self.last, match.group())
        self.is_beside = True

    def tie(self, match: re.Match[str]) -> None:
        """A tie from the last note to the next."""
        if self.last is None or self.last.pitch is None:
            self._remarks.warn("tie", "a tie has no note before it", match)
            return
        self.last.tied_on = True

    def separate(self) -> None:
        """End the beam at a space, unless a broken rhythm binds the notes together."""
        self.is_beside = self.is_beside and self._broken is not None

    def _pitch(self, found: re.Match[str]) -> Pitch:
        tie = self.last if self.last is not None and self.last.tied_on else None
        return self._accidentals.pitch(found["accidental"], found["step"], found["octave"], tie)

    def _length(self, text: str, match: re.Match[str]) -> Fraction:
        if text in self._lengths:
            return self._lengths[text]
        multiple = read_length(text)
        if multiple is None:
            problem = f"the length of {match.group()[:20]} makes no sense"
            self._remarks.refuse("note_length", problem, match)
            return self.unit
        length = self.unit * multiple
        if length > LONGEST_NOTE or length.denominator > FINEST:
            problem = f"the note {match.group()[:20]} is too long or too short to be meant"
            self._remarks.refuse("note_length", problem, match)
        self._lengths[text] = length
        return length

    def _gracenote_pitches(self, match: re.Match[str]) -> tuple[Pitch, ...]:
        pitches = []
        for found in GRACENOTE.finditer(match.group()[1:-1]):
            if found["other"]:
                text = f"the sign {found['other']} among gracenotes is not read"
                self._remarks.warn("stray_sign", text, match)
                continue
            sign, step, octave = found["accidental"], found["step"], found["octave"]
            pitches.append(self._accidentals.pitch(sign, step, octave, None))
        return tuple(pitches)

    def _add(self, pitch: Pitch | None, length: Fraction) -> None:
        note = WrittenNote(pitch, length, self._gracenotes)
        self._gracenotes = ()
        if self.tuplet is not None:
            note.length, note.tuplet = length * self.tuplet.factor, self.tuplet.ratio
            self.tuplet = self.tuplet.after_one
        if self._broken is not None:
            self._share_out(note)
        self._place(note)

    def _share_out(self, second: WrittenNote) -> None:
        assert self._broken is not None
        first, sign = self._broken
        self._broken = None
        long, short = BROKEN[len(sign)]
        before, after = (long, short) if sign[0] == ">" else (short, long)
        first.length *= before
        second.length *= after

    def _place(self, note: WrittenNote) -> None:
        before = self.last
        if before is not None and before.tied_on and before.pitch != note.pitch:
            self._loosen_tie(before)
        if self.is_beside and before is not None and self.bar.notes:
            before.joined = True
        self.bar.notes.append(note)
        self.last, self.is_beside = note, True

    def _loosen_tie(self, note: WrittenNote) -> None:
        note.tied_on = False
        self._remarks.warn("tie", "a tie does not lead to the same note and is left out")
