import pytest

from planner.music.scale import CHANTER_NAMES
from planner.music.tuning import HARMONIC, OF_1954, chanter_scale, sounding_hz


def test_every_note_of_the_chanter_has_a_ratio():
    assert tuple(HARMONIC) == CHANTER_NAMES


def test_the_nine_notes_rise():
    rising = [sounding_hz(name, 478.0) for name in CHANTER_NAMES]
    assert rising == sorted(set(rising))


def test_high_a_sounds_an_octave_above_low_a():
    assert sounding_hz("high A", 476.0) == 2 * sounding_hz("low A", 476.0)


def test_a_ratio_of_ones_own_goes_before_the_usual_one():
    assert sounding_hz("D", 480.0, OF_1954) > sounding_hz("D", 480.0)


def test_the_whole_scale_is_given_from_low_g_up():
    scale = chanter_scale(480.0)
    assert tuple(scale) == CHANTER_NAMES
    assert scale["low G"] == 420.0


def test_a_note_off_the_chanter_has_no_pitch():
    with pytest.raises(KeyError, match="high B"):
        sounding_hz("high B", 480.0)
