from fractions import Fraction

import pytest

from planner.errors import NotationError
from planner.music.drums import DrumBar, DrumScore, DrumVoice
from planner.notation.drum_text import read_drum_text, write_drum_text

BAR = DrumBar((Fraction(0), Fraction(3, 2)), ((Fraction(0), Fraction(1)),), (Fraction(0),))
SCORE = DrumScore(
    {DrumVoice.BASS: {(1, 1, 0): BAR, (1, 2, 1): DrumBar()}, DrumVoice.SNARE: {(2, 1, 0): BAR}},
    "drums.json",
)


def test_a_score_comes_back_as_it_was_written():
    assert read_drum_text("drums.json", write_drum_text(SCORE)) == SCORE


def test_an_empty_score_is_no_fault():
    assert read_drum_text("a", write_drum_text(DrumScore())).lines == {}


@pytest.mark.parametrize(
    "text",
    [
        "", "[]", "{}", "null", '{"lines": [1]}', '{"lines": [{"voice": "harp", "bars": []}]}',
        '{"lines": [{"voice": "bass", "bars": [{"part": 1}]}]}',
        '{"lines": [{"voice": "bass", "bars": [{"part":1,"bar":1,"ending":0,"strokes":["1/0"]}]}]}',
        '{"lines": [{"voice": "bass", "bars": [{"part":1,"bar":1,"ending":0,"strokes":["99"]}]}]}',
        '{"lines": [{"voice":"bass","bars":[{"part":1,"bar":1,"ending":0,"rolls":[["1","0"]]}]}]}',
    ],
)  # fmt: skip
def test_what_is_no_score_is_refused_in_one_sentence(text):
    with pytest.raises(NotationError, match=r"^drums: this is no drum score in JSON; enter it"):
        read_drum_text("drums", text)
