"""How do sounds in milliseconds become a standard MIDI file?

One track, one bagpipe voice, a tick a millisecond (500 ticks a crotchet at 120 crotchets a minute),
so that the file plays exactly what the plan says. Gracenotes sound as notes. Works on the classes
of the library that is handed in, without importing it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

TICKS_A_CROTCHET = 500
MICROSECONDS_A_CROTCHET = 500_000
BAGPIPE = 109  # General MIDI programme 110, counted from 0
VELOCITY = 90  # pipes have no loud and soft


@dataclass(frozen=True, slots=True)
class Sound:
    """One sound: MIDI note number, start and end in milliseconds from the start of the file."""

    pitch: int
    start_ms: float
    end_ms: float


def midi_file_bytes(library: Any, sounds: Sequence[Sound]) -> bytes:
    """The sounds as a standard MIDI file; ``library`` is music21's module ``midi``."""
    track = library.MidiTrack(0)
    track.events = [*_opening(library, track)]
    position = 0
    for tick, is_start, pitch in _strikes(sounds):
        kind = "NOTE_ON" if is_start else "NOTE_OFF"
        track.events += _timed(library, track, tick - position, kind, pitch)
        position = tick
    track.events += _end(library, track)
    file = library.MidiFile()
    file.tracks, file.format, file.ticksPerQuarterNote = [track], 0, TICKS_A_CROTCHET
    return bytes(file.writestr())


def _strikes(sounds: Sequence[Sound]) -> list[tuple[int, bool, int]]:
    """Starts and ends in order; at the same tick a note ends before the next one starts."""
    strikes = []
    for sound in sounds:
        start, end = round(sound.start_ms), round(sound.end_ms)
        if end > start:
            strikes += [(start, True, sound.pitch), (end, False, sound.pitch)]
    return sorted(strikes)


def _opening(library: Any, track: Any) -> list[Any]:
    tempo = library.MidiEvent(track, library.MetaEvents.SET_TEMPO)
    tempo.data = MICROSECONDS_A_CROTCHET.to_bytes(3, "big")
    voice = library.MidiEvent(track, library.ChannelVoiceMessages.PROGRAM_CHANGE)
    voice.channel, voice.data = 1, BAGPIPE
    return [library.DeltaTime(track, 0), tempo, library.DeltaTime(track, 0), voice]


def _timed(library: Any, track: Any, ticks: int, kind: str, pitch: int) -> list[Any]:
    message = getattr(library.ChannelVoiceMessages, kind)
    event = library.MidiEvent(track, message)
    event.channel, event.pitch, event.velocity = 1, pitch, VELOCITY if kind == "NOTE_ON" else 0
    return [library.DeltaTime(track, ticks), event]


def _end(library: Any, track: Any) -> list[Any]:
    end = library.MidiEvent(track, library.MetaEvents.END_OF_TRACK)
    end.data = b""
    return [library.DeltaTime(track, 0), end]
