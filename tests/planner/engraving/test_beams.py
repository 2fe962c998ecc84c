"""Do the right notes hang on one beam?"""

import pytest

from planner.engraving.beams import bar_beams, gracenote_beams, is_joined_by_writer
from planner.music.tune import Tune
from tests.builders import tune

SIGNS = {"begin": "[", "continue": "=", "end": "]", "forward hook": ">", "backward hook": "<"}


def beams_of(written: Tune, bar: int = 0) -> str:
    """The beams of a bar: one word a note, a sign a beam from the outside, ``.`` for none."""
    found = bar_beams(written.parts[0].bars[bar], is_joined_by_writer(written))
    return " ".join("".join(SIGNS[word] for word in words) or "." for words in found)


@pytest.mark.parametrize(
    ("body", "beams"),
    [
        ("2/4 | AB cd |]", "[ ] [ ]"),
        ("2/4 | ABcd |]", "[ = = ]"),
        ("2/4 | A>B c<d |]", "[ ]< [> ]"),
        ("6/8 | A>Bc d2e |]", "[ =< ] . ."),
        ("2/4 | A/B/c/d/ e2 |]", "[[ == == ]] ."),
        ("2/4 | A B c d |]", ". . . ."),
    ],
)
def test_the_writers_joining_is_kept(body: str, beams: str) -> None:
    joined = tune(body + " ef |]") if " B c d" in body else tune(body)
    assert beams_of(joined) == beams


@pytest.mark.parametrize(
    ("metre", "body", "beams"),
    [
        ("2/4", "A B c d", "[ ] [ ]"),
        ("6/8", "A B c d e f", "[ = ] [ = ]"),
        ("C|", "A B c d e f g a", "[ = = ] [ = = ]"),
        ("3/8", "A B c", "[ = ]"),
        ("2/4", "A z c d", ". . [ ]"),
    ],
)
def test_without_the_writers_joining_a_beat_hangs_together(
    metre: str, body: str, beams: str
) -> None:
    assert beams_of(tune(f"{metre} | {body} |]")) == beams


def test_a_pickup_is_set_against_the_end_of_its_bar() -> None:
    assert beams_of(tune("2/4 | A B c | d4 | e4 |]")) == ". [ ]"


def test_a_single_gracenote_has_flags_and_several_share_three_beams() -> None:
    assert gracenote_beams(1) == ((),)
    assert gracenote_beams(2) == (("begin",) * 3, ("end",) * 3)
