"""Damaged MIDI files, by the book of Standard MIDI Files 1.0: one sentence, and at once."""

import random

import pytest

from planner.errors import NotationError
from planner.notation.imported import write_midi
from planner.notation.midi_file import Sound
from planner.notation.midi_head import MOST_NOTES, check_midi
from planner.notation.read import read_tunes

HEAD = bytes.fromhex("4d546864 00000006 0000 0001 01f4")
A_NOTE = bytes.fromhex("00 90455a 8310 804500")
END = bytes.fromhex("00 ff2f00")


def file_of(track, head=HEAD):
    return head + b"MTrk" + len(track).to_bytes(4, "big") + track


def refusal(content):
    with pytest.raises(NotationError) as error:
        check_midi("a.mid", content)
    assert str(error.value).count("\n") == 0
    return error.value.problem


@pytest.mark.parametrize(
    "track",
    [
        A_NOTE + END,
        # running status: the second note has no status byte of its own
        bytes.fromhex("00 90455a 8310 4500 00 475a 8310 4700") + END,
        # a system exclusive message, and a text
        bytes.fromhex("00 f003 010203 00 ff0103 616263") + A_NOTE + END,
    ],
)
def test_a_whole_file_passes(track):
    check_midi("a.mid", file_of(track))
    # an unknown chunk may follow the track: readers pass over it
    check_midi("a.mid", file_of(track) + b"XFIH\x00\x00\x00\x01\x00")


def test_what_the_service_writes_itself_passes():
    check_midi("a.mid", write_midi([Sound(69, 0.0, 400.0), Sound(71, 400.0, 800.0)]))


@pytest.mark.parametrize(
    "content",
    [
        b"MThd",
        b"RIFF" + bytes(40),
        HEAD + b"MTrk\x00\x00\xff\xff" + A_NOTE,
        file_of(b"\x00"),
        file_of(b"\x00\x45\x5a"),  # data without a status byte before it
        file_of(b"\x00\x90\x45"),
        file_of(b"\x00\x90\xc5\x5a" + END),  # a data byte above 127
        file_of(b"\xff\xff\xff\xff\x7f\x90\x45\x5a"),  # a number of five bytes; four are allowed
        file_of(b"\x00\xff\x01\x7fabc"),
        file_of(b"\x00\xf4" + END),
    ],
)
def test_a_damaged_file_is_refused(content):
    assert refusal(content) == "the MIDI file is damaged or cut off"


def test_a_file_without_notes_or_in_film_frames_is_refused():
    assert refusal(file_of(END)) == "it holds no notes"
    assert "film frames" in refusal(file_of(A_NOTE, HEAD[:12] + b"\xe7\x28"))


def test_a_rest_of_weeks_and_notes_without_number_are_refused():
    assert "too long" in refusal(file_of(b"\xff\xff\xff\x7f\x90\x45\x5a" + A_NOTE + END))
    strokes = bytes.fromhex("00 90455a 01 804500") * (MOST_NOTES + 1)
    assert "too long" in refusal(file_of(strokes + END))


@pytest.mark.parametrize("seed", range(3))
def test_files_with_wrong_bytes_end_in_a_tune_or_a_sentence_and_keep_nobody_waiting(seed):
    chance = random.Random(seed)
    sound = write_midi([Sound(69 + n % 5, 300.0 * n, 300.0 * (n + 1)) for n in range(40)])
    for _ in range(40):
        damaged = bytearray(sound)
        for _ in range(chance.randrange(1, 5)):
            damaged[chance.randrange(len(damaged))] = chance.randrange(256)
        answer = answer_to(bytes(damaged))
        assert answer
        assert "\n" not in answer
        assert "too much time" not in answer


def answer_to(content):
    try:
        return "tunes" if read_tunes("a.mid", content) else ""
    except NotationError as refused:
        return str(refused)
