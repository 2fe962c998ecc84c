"""The same notes in another idiom."""

from fractions import Fraction
from pathlib import Path

import pytest

from planner.errors import RequestError
from planner.notation.check import check_tune
from planner.notation.read import read_tune
from planner.recast import recast
from tests.builders import tune

TUNES = sorted((Path(__file__).parents[2] / "seed_data" / "tunes").glob("*.abc"))
RECASTABLE = ("2/4", "4/4", "C", "C|")


def lengths(written):
    return [note.length for note in written.parts[0].bars[0].notes]


def melody(written):
    return [
        (note.pitch, note.gracenotes)
        for part in written.parts
        for bar in part.bars
        for note in bar.notes
    ]


def quarters(*numbers):
    return [Fraction(number, 4) for number in numbers]


def test_even_pairs_of_a_march_are_dotted_in_a_strathspey():
    march = tune("4/4 | AB ce {g}A2 {g}B2 |]", idiom="march")
    assert lengths(recast(march, "strathspey")) == quarters(3, 1, 3, 1, 4, 4)


def test_a_pair_that_falls_on_a_weak_beat_is_cut():
    march = tune("4/4 | AB ec A2 B2 |]", idiom="march")
    assert lengths(recast(march, "strathspey")) == quarters(3, 1, 1, 3, 4, 4)


def test_dots_and_cuts_of_a_strathspey_stay_in_a_pointed_reel():
    strathspey = tune("C | A>B c<e A2 B2 |]", idiom="strathspey")
    reel = recast(strathspey, "pointed reel")
    assert lengths(reel) == lengths(strathspey)
    assert (str(reel.metre), reel.metre.beats_per_bar) == ("C|", 2)


def test_a_round_reel_is_even():
    strathspey = tune("C | A>B c<e A2 B2 |]", idiom="strathspey")
    assert lengths(recast(strathspey, "round reel")) == quarters(2, 2, 2, 2, 4, 4)


def test_a_two_four_march_is_written_twice_as_long():
    march = tune("2/4 | A/B/c/e/ A2 |]", idiom="march")
    assert lengths(recast(march, "round reel")) == quarters(2, 2, 2, 2, 8)


@pytest.mark.parametrize("path", TUNES, ids=lambda path: path.stem)
@pytest.mark.parametrize("idiom", ["strathspey", "pointed reel", "round reel"])
def test_recasting_keeps_melody_gracenotes_repeats_and_whole_bars(path, idiom):
    written = read_tune(path.name, path.read_bytes()).tune
    if str(written.metre) not in RECASTABLE:
        with pytest.raises(RequestError, match="two or four beats"):
            recast(written, idiom)
        return
    found = recast(written, idiom)
    assert melody(found) == melody(written)
    assert [part.times for part in found.parts] == [part.times for part in written.parts]
    assert not [finding for finding in check_tune(found) if finding.code == "bar_length"]


def test_a_setting_says_what_it_was_recast_from():
    found = recast(tune("4/4 | A4 B4 |]", idiom="march"), "strathspey")
    assert found.credits.notes[-1] == "recast from march as strathspey"


def test_a_jig_is_not_forced_into_two():
    with pytest.raises(RequestError, match="divide in two"):
        recast(tune("6/8 | A3 B3 |]", idiom="jig"), "strathspey")


def test_an_idiom_without_pairs_is_refused_with_the_ones_there_are():
    with pytest.raises(RequestError, match="choose march, strathspey"):
        recast(tune("4/4 | A4 B4 |]"), "jig")
