from fractions import Fraction

import pytest

from planner.analysis.beats import place_notes
from planner.event.event import Drums
from planner.marks.anchors import Anchors
from planner.music.drums import DrumBar, DrumScore, DrumVoice
from tests.builders import tune


def struck(music, drums, score=None):
    """The beats at which a drum strikes, among those where a note starts."""
    anchors = Anchors(Drums(drums), score)
    return [float(n.address.beat) for n in place_notes(tune(music)) if anchors.is_struck(n)]


@pytest.mark.parametrize(
    ("music", "drums", "beats"),
    [
        ("2/4 | A B c d |]", "full", [1, 2]),
        ("4/4 | A B c d e f g a |]", "full", [1, 2, 3, 4]),
        ("6/8 | A B c d e f |]", "full", [1, 2]),
        ("9/8 | A B c d e f g a e |]", "full", [1, 2, 3]),
        ("C| | A B c d e f g a |]", "full", [1, 1.5, 2, 2.5]),
        ("2/2 | A B c d e f g a |]", "full", [1, 1.5, 2, 2.5]),
        ("2/4 | A B c d |]", "bass", [1, 2]),
        ("6/8 | A B c d e f |]", "bass", [1, 2]),
        ("4/4 | A B c d e f g a |]", "bass", [1, 3]),
        ("3/4 | A B c d e f |]", "bass", [1]),
        ("9/8 | A B c d e f g a e |]", "bass", [1]),
        ("12/8 | A B c d e f g a e c B A |]", "bass", [1, 3]),
        ("4/4 | A B c d e f g a |]", "none", []),
    ],
)
def test_without_a_score_the_usual_strokes_are_taken(music, drums, beats):
    assert struck(music, drums) == beats


HALF = Fraction(1, 2)


def score(**lines):
    bars = {DrumVoice[name.upper()]: {(1, 1, 0): bar} for name, bar in lines.items()}
    return DrumScore(bars)


def test_a_score_says_where_its_strokes_fall():
    written = score(snare=DrumBar(strokes=(Fraction(0), HALF)))
    assert struck("2/4 | A B c d | A B c d |]", "full", written) == [1, 1.5, 1, 2]


def test_the_bass_alone_does_not_play_the_snares_strokes():
    written = score(snare=DrumBar(strokes=(HALF,)), bass=DrumBar(strokes=(Fraction(0),)))
    assert struck("2/4 | A B c d |]", "bass", written) == [1]
    assert struck("2/4 | A B c d |]", "full", written) == [1, 1.5]


def test_a_note_inside_a_roll_is_in_it_and_its_first_stroke_is_not():
    written = score(snare=DrumBar(rolls=((Fraction(0), Fraction(1)),)))
    anchors = Anchors(Drums.FULL, written)
    notes = place_notes(tune("2/4 | A B c d |]"))
    assert [anchors.is_in_roll(note) for note in notes] == [False, True, False, False]
    assert not any(Anchors(Drums.NONE, written).is_in_roll(note) for note in notes)
