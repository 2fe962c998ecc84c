"""Is a MIDI file whole, and short enough to be a tune?

Checked before the library sees it (Standard MIDI Files 1.0: chunks, numbers of variable length,
running status): one wrong byte can make a rest of weeks, which the library would fill with bars.
"""

from __future__ import annotations

from dataclasses import dataclass

from planner.errors import NotationError

# How long can a tune be, in crotchets? The longest pipe tunes have some 500 with all repeats.
LONGEST = 4_096
# How many strokes of a note can it have? A long tune with every gracenote has a few thousand.
MOST_NOTES = 20_000
# Data bytes of a channel message by the upper half of its status byte.
_DATA_BYTES = {0x8: 2, 0x9: 2, 0xA: 2, 0xB: 2, 0xC: 1, 0xD: 1, 0xE: 2}
_NOTE_ON = 0x9
_SYSTEM = 0xF
_META, _EXCLUSIVE = 0xFF, (0xF0, 0xF7)
_LONGEST_NUMBER = 4
"""Bytes of a number of variable length, by the standard."""


def check_midi(name: str, content: bytes) -> None:
    """Refuse a MIDI file that is damaged or too long to be a tune.

    Raises:
        NotationError: the file is cut off or damaged, counts in film frames, or is too long.
    """
    try:
        notes = _check_chunks(name, content)
    except (IndexError, ValueError) as error:
        raise _refused(name, "the MIDI file is damaged or cut off") from error
    if not notes:
        raise _refused(name, "it holds no notes")


def _check_chunks(name: str, content: bytes) -> int:
    """How many notes all tracks begin."""
    if content[:4] != b"MThd" or len(content) < 14:
        raise ValueError
    division = int.from_bytes(content[12:14], "big")
    if not 0 < division < 0x8000:
        raise _refused(name, "the MIDI file counts in film frames, not in crotchets")
    place = 8 + int.from_bytes(content[4:8], "big")
    notes = 0
    while place < len(content):
        start = place + 8
        place = start + int.from_bytes(content[place + 4 : start], "big")
        if place > len(content):
            raise ValueError
        if content[start - 8 : start - 4] == b"MTrk":
            track = _Track(content[start:place])
            track.walk(division * LONGEST)
            notes += track.notes
            if track.is_too_long or notes > MOST_NOTES:
                raise _refused(name, "it is too long to be a tune")
    return notes


@dataclass(slots=True)
class _Track:
    """One track: its bytes, where the reading stands, and what was met so far."""

    content: bytes
    place: int = 0
    notes: int = 0
    is_too_long: bool = False

    def walk(self, most_ticks: int) -> None:
        """Step over every event; stops early at a track of more ticks than a tune has."""
        ticks = status = 0
        while self.place < len(self.content):
            ticks += self._number()
            if ticks > most_ticks:
                self.is_too_long = True
                return
            status = self._event(status)

    def _event(self, running: int) -> int:
        """Step over one event; answers the status that holds for the next."""
        status = self.content[self.place]
        if status < 0x80:
            status = running
        else:
            self.place += 1
        if status >> 4 == _SYSTEM:
            self._step_over_system(status)
            return 0
        count = _DATA_BYTES.get(status >> 4)
        data = self.content[self.place : self.place + (count or 0)]
        if count is None or len(data) < count or max(data) > 0x7F:
            raise ValueError
        self.notes += status >> 4 == _NOTE_ON and data[1] > 0
        self.place += count
        return status

    def _step_over_system(self, status: int) -> None:
        if status == _META:
            self.place += 1
        elif status not in _EXCLUSIVE:
            raise ValueError
        length = self._number()
        self.place += length
        if self.place > len(self.content):
            raise ValueError

    def _number(self) -> int:
        value = 0
        for _ in range(_LONGEST_NUMBER):
            byte = self.content[self.place]
            self.place += 1
            value = value << 7 | byte & 0x7F
            if byte < 0x80:
                return value
        raise ValueError


def _refused(name: str, problem: str) -> NotationError:
    return NotationError(name, "", problem, "export the tune again, best as MusicXML")
