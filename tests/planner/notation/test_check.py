"""A tune that cannot be planned says why, and where."""

from dataclasses import replace

import pytest

from planner.findings import Gravity
from planner.music.tempo import Metre, Tempo
from planner.music.tune import Tune, outline
from planner.notation.check import check_tune
from tests.builders import tune

REFUSE, WARN = Gravity.REFUSE, Gravity.WARN


def found(body, **header):
    built = tune(body, **header)
    return [(one.code, one.where, one.gravity) for one in check_tune(built)]


def test_a_sound_tune_has_no_findings():
    body = "2/4 |: e2 | {g}A4 {GdGe}A3B | {gcd}c3e {ag}a2 :|"
    assert found(body, length="1/16") == []


@pytest.mark.parametrize(
    ("body", "where"),
    [
        ("2/4 A4 | B5 | c4 |]", "part 1, bar 2"),
        ("2/4 A4 | B3 | c4 |]", "part 1, bar 2"),
        ("2/4 A4 | B4 || A4 | c5 |]", "part 2, bar 2"),
        ("2/4 |: A4 |1 B5 :|2 c4 |]", "part 1, bar 2, ending 1"),
        ("2/4 |: A4 |1 B3 | c4 :|2 c4 | d4 |]", "part 1, bar 2, ending 1"),
        ("6/8 A6 | [M:2/4] A6 |]", "part 1, bar 2"),
    ],
)
def test_a_bar_that_does_not_add_up_is_refused_by_part_and_bar(body, where):
    assert found(body)[0] == ("bar_length", where, REFUSE)


def test_the_sentence_gives_both_lengths():
    (finding,) = check_tune(tune("2/4 A4 | B3 | c4 |]"))
    assert finding.text == "the bar holds 1 1/2 crotchets and its metre 2 crotchets"


def test_the_last_bar_of_each_ending_may_be_short_by_the_pick_up():
    assert found("2/4 |: e | A4 |1 B3 :|2 c3 || e | d4 | e3 |]") == []


def test_last_bar_and_pick_up_that_make_no_full_bar_are_worth_a_word():
    assert found("2/4 |: e | A4 | B4 :|") == [("join_length", "part 1, bar 2", WARN)]
    assert found("2/4 |: A4 | B3 :|") == [("join_length", "part 1, bar 2", WARN)]
    assert found("2/4 A4 | B2 || e | c4 |]") == [("join_length", "part 1, bar 2", WARN)]


@pytest.mark.parametrize(
    ("body", "name"),
    [
        ("2/4 A2 =c2 |]", "C natural (octave 5)"),
        ("2/4 A2 =f2 |]", "F natural (octave 5)"),
        ("2/4 A2 b2 |]", "B (octave 5)"),
        ("2/4 A2 {=c}B2 |]", "C natural (octave 5)"),
        ("2/4 A2 ^g2 |]", "G sharp (octave 5)"),
        ("2/4 A2 _B2 |]", "B flat (octave 4)"),
    ],
)
def test_a_note_off_the_chanter_is_refused_by_name(body, name):
    (finding,) = check_tune(tune(body))
    assert (finding.code, finding.gravity) == ("off_chanter", REFUSE)
    assert f"needs a {name}," in finding.text
    assert finding.where == "part 1, bar 1"


def test_one_finding_a_part_tells_how_often_a_wrong_note_comes():
    (finding,) = check_tune(tune("2/4 =c4 | =c2 =c2 |]"))
    assert "and 2 more times in this part" in finding.text


@pytest.mark.parametrize(
    ("metre", "code", "gravity"),
    [("none", "metre", REFUSE), ("6/1", "metre", REFUSE), ("7/8", "metre_unusual", WARN)],
)
def test_metres_nobody_marches_to(metre, code, gravity):
    assert (code, "", gravity) in found(f"{metre} A7 |]")


@pytest.mark.parametrize("bpm", [0, -4, 3, 1000])
def test_a_tempo_that_cannot_be_meant_is_refused(bpm):
    built = replace(tune("2/4 A4 |]"), tempo=Tempo(bpm))
    assert [one.code for one in check_tune(built)] == ["tempo"]


def test_a_tune_without_bars_is_refused_and_an_outline_is_not():
    assert [one.code for one in check_tune(Tune("x", Metre(2, 4), ()))] == ["no_notes"]
    assert check_tune(outline("x", Metre(2, 4), ((8, 2),))) == ()


def test_a_very_long_group_of_gracenotes_is_worth_a_word():
    assert found("2/4 {gdgegdgege}A4 |]") == [("many_gracenotes", "part 1, bar 1", WARN)]
