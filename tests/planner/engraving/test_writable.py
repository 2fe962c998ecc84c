"""Is what no staff can show refused with one clear sentence?"""

from dataclasses import replace
from fractions import Fraction

import pytest

from planner.engraving.writable import refuse_unwritable
from planner.errors import EngravingError
from planner.music.scale import Pitch
from planner.music.tempo import Metre
from planner.music.tune import Bar, Note, Part, Tune, outline
from tests.planner.engraving.demo import CORNERS, NAMES, demo_tune

PITCH = Pitch("A", 0, 4)
METRE = Metre(2, 4)


def tune_of(*notes: Note, metre: Metre = METRE) -> Tune:
    return Tune("Odd", metre, (Part(1, (Bar(1, metre, notes),)),))


@pytest.mark.parametrize(
    ("odd", "sentence"),
    [
        (tune_of(Note(PITCH, Fraction(0))), "part 1, bar 1: note 1 has no length; give it one"),
        (tune_of(Note(PITCH, Fraction(1, 7))), "lasts 1/7 crotchets, which no note can show"),
        (tune_of(Note(PITCH, Fraction(1), tuplet=(0, 2))), "is in a group of no notes"),
        (tune_of(Note(PITCH, Fraction(1), (PITCH,) * 50)), "has 50 gracenotes"),
        (tune_of(Note(Pitch("A", 0, 12), Fraction(1))), "has no place on the staff"),
        (tune_of(*[Note(PITCH, Fraction(1))] * 300), "300 notes are too many for one bar"),
        (tune_of(Note(PITCH, Fraction(1)), metre=Metre(2, 7)), "the metre 2/7 cannot be written"),
        (outline("Book", METRE, ((1001, 1),)), "1001 bars are too many for one tune"),
        (Tune("Twice", METRE, (Part(1, (Bar(1, METRE), Bar(1, METRE))),)), "is there twice"),
        (Tune("Lost", METRE, (Part(1, (Bar(1, METRE, ending=1),)),)), "ending 1 has no pass"),
    ],
)
def test_what_no_staff_can_show_is_refused(odd: Tune, sentence: str) -> None:
    with pytest.raises(EngravingError, match=sentence):
        refuse_unwritable(odd)


def test_the_demo_tunes_and_the_corners_of_notation_pass() -> None:
    for written in (*map(demo_tune, NAMES), *CORNERS):
        refuse_unwritable(written)
        refuse_unwritable(replace(written, tempo=None))
