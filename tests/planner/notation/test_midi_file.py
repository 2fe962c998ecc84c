"""The played list as a standard MIDI file, read back by music21 as an independent reader."""

import io
from itertools import pairwise

import pytest

from planner.event.event import Control, Occasion, Setting, Sort
from planner.marks.unrolled import sounds_of
from planner.notation.imported import midi_bytes
from planner.notation.midi_file import Sound
from planner.plan import plan_tune
from planner.rules.load import load_rulebook
from tests.builders import tune

PARADE = Setting(Occasion.PARADE, Sort.OWN_BAND, control=Control(4))


@pytest.fixture(scope="module")
def midi():
    return pytest.importorskip("music21.midi")


def read_back(midi, content):
    """(pitch, start, end) of every note of the first track, in ticks of a millisecond."""
    file = midi.MidiFile()
    file.openFileLike(io.BytesIO(content))
    file.read()
    position, sounding, found = 0, {}, []
    for event in file.tracks[0].events:
        if event.isDeltaTime():
            position += event.time
        elif event.isNoteOn():
            sounding[event.pitch] = position
        elif event.isNoteOff():
            found.append((event.pitch, sounding.pop(event.pitch), position))
    return found


def test_every_sound_comes_back_at_its_millisecond(midi):
    sounds = (Sound(69, 0.0, 250.4), Sound(74, 250.4, 1000.0))
    assert read_back(midi, midi_bytes(sounds)) == [(69, 0, 250), (74, 250, 1000)]


def test_a_sound_too_short_for_a_millisecond_is_left_out(midi):
    assert read_back(midi, midi_bytes((Sound(69, 0.0, 0.2), Sound(71, 0.2, 9.0)))) == [(71, 0, 9)]


def test_a_tune_sounds_without_gap_from_first_to_last(midi):
    written = tune("2/4 |: {g}A2 {GdGe}A2 | {Gdc}d2 {g}B2 :|", idiom="march", tempo=60)
    plan = plan_tune(written, PARADE, load_rulebook())
    sounds = [Sound(s.pitch, s.start_ms, s.end_ms) for s in sounds_of(plan.analysis, plan.heard)]
    heard = read_back(midi, midi_bytes(sounds))
    assert heard[-1][2] == round(plan.seconds * 1000)
    assert all(here[2] == there[1] for here, there in pairwise(heard))


def test_gracenotes_sound_as_notes(midi):
    written = tune("2/4 | {Gdc}d4 |]", idiom="march", tempo=60)
    plan = plan_tune(written, PARADE, load_rulebook())
    assert [sound.pitch for sound in sounds_of(plan.analysis, plan.heard)] == [67, 74, 73, 74]
