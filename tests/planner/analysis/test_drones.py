"""Range, and which notes blend with the drones."""

import pytest

from planner.analysis.drones import INTERVALS, against_drones, is_concord, range_of
from planner.music.scale import CHANTER_NAMES
from planner.music.tuning import HARMONIC
from tests.builders import tune


# Helmholtz, On the Sensations of Tone (from memory): octave, fifth, fourth, thirds and the major
# sixth are consonances, seconds and sevenths dissonances.
@pytest.mark.parametrize(
    ("note", "concord"),
    [
        ("low G", False),
        ("low A", True),
        ("B", False),
        ("C", True),
        ("D", True),
        ("E", True),
        ("F", True),
        ("high G", False),
        ("high A", True),
    ],
)
def test_seconds_and_sevenths_clash_with_the_drones_and_the_rest_blend(note, concord):
    assert is_concord(note) is concord


def test_every_note_has_its_interval_and_its_ratio():
    assert set(INTERVALS) == set(HARMONIC) == set(CHANTER_NAMES)


def test_each_note_has_its_share_of_the_time_as_printed():
    found = against_drones(tune("4/4 |: A4 e2 {gdG}g2 | z8 :|"))
    assert [(one.note, one.interval, one.is_concord) for one in found] == [
        ("low A", "the drones' own note", True),
        ("E", "fifth", True),
        ("high G", "seventh", False),
    ]
    assert [one.share for one in found] == [0.5, 0.25, 0.25]


def test_the_range_names_what_is_never_played():
    found = range_of(tune("4/4 A2 B2 d2 e2 |]"))
    assert (found.lowest, found.highest, found.never) == ("low A", "E", ("C",))


def test_a_tune_without_notes_has_no_range():
    assert range_of(tune("4/4 z8 |]")) is None
    assert against_drones(tune("4/4 z8 |]")) == ()


def test_notes_off_the_chanter_are_not_counted():
    found = against_drones(tune("4/4 A4 =c4 |]"))
    assert [(one.note, one.share) for one in found] == [("low A", 1.0)]
