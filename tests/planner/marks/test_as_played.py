"""What was said of printed bars holds where a set plays the tune otherwise."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from planner.event.event import Entry
from planner.event.played_parts import as_played
from planner.marks.as_played import choices_as_played
from planner.marks.choices import Agreed, ByHand, Choices
from planner.marks.marks import Move
from planner.music.drums import DrumBar, DrumScore, DrumVoice
from planner.music.tune import Address
from tests.builders import tune

REPEATED = tune("2/4 |: A4 | B2 c2 :|", title="Repeated")
DRUM = DrumBar(strokes=(Fraction(0), Fraction(1)))
SAID = Choices(
    by_hand=(ByHand(1, 1, 0, 0, Move.HOLD), ByHand(1, 2, 0, 1, None)),
    agreements=(Agreed(Address(1, 2, 0, Fraction(1)), Move.HOLD, 20, 84, True),),
    drum_score=DrumScore({DrumVoice.SNARE: {(1, 2, 0): DRUM}}),
)


def test_as_printed_nothing_changes() -> None:
    assert choices_as_played(SAID, REPEATED, as_played(Entry("x"), REPEATED)) is SAID


def test_what_was_said_of_the_last_bar_holds_for_it_as_printed() -> None:
    played = as_played(Entry("x", last_bar="f4"), REPEATED)
    said = choices_as_played(SAID, REPEATED, played)
    assert said.by_hand == (SAID.by_hand[0], replace(SAID.by_hand[1], ending=1))
    assert said.agreements[0].address == Address(1, 2, 1, Fraction(1))


def test_the_drums_play_what_they_have_under_the_altered_bar_too() -> None:
    played = as_played(Entry("x", last_bar="f4"), REPEATED)
    said = choices_as_played(SAID, REPEATED, played)
    assert said.drum_score is not None
    line = said.drum_score.lines[DrumVoice.SNARE]
    assert line == {(1, 2, 0): DRUM, (1, 2, 1): DRUM, (1, 2, 2): DRUM}
