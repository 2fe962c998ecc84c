"""Writing a tune as ABC and reading it back changes nothing."""

import pytest
from hypothesis import HealthCheck, given, settings

from planner.findings import Gravity
from planner.music.tempo import Metre
from planner.music.tune import Credits, Tune, outline
from planner.notation.abc import read_abc
from planner.notation.write import write_abc
from tests.builders import tune
from tests.planner.notation.strategies import tunes

SLOW_TO_DRAW = [HealthCheck.too_slow, HealthCheck.data_too_large]


def read_back(written: Tune) -> Tune:
    (read,) = read_abc(write_abc(written))
    refused = [str(one) for one in read.findings if one.gravity is Gravity.REFUSE]
    assert not refused
    return read.tune


@settings(max_examples=60, deadline=None, suppress_health_check=SLOW_TO_DRAW)
@given(tunes())
def test_a_tune_written_and_read_is_the_same_tune(written):
    assert read_back(written) == written


@pytest.mark.parametrize(
    "body",
    [
        "6/8 |: e | {g}Ace {g}fec | {g}A3 {g}a2 :|",
        "C |: A>B {gcd}c<{d}A (3abc d2 | [1 A8 :| [2 e8 |: a8 :|",
        "C |:: A8 | B8 ::| A8 | e8 |]",
        "2/4 A2 B2- | B4 || [M:3/4] c2 d2 e2 |]",
        "2/4 z4 | (5:4:5ABcde f2 | (3:2:2a2b f2 g-g |]",
        "2/4 A2 B2 | =c2 c2 | ^g2 G2 |]",
        "2/4 |: A4 | [1,3 B4 :| [2 c4 :| [4 d4 || e4 |]",
    ],
)
def test_these_signs_survive_writing_and_reading(body):
    written = tune(body)
    assert read_back(written) == written


def test_bars_without_notes_on_file_stay_without_notes():
    written = outline("Scan only", Metre(2, 4), ((8, 2), (4, 1)))
    assert not read_back(written).has_notes
    assert [len(part.bars) for part in read_back(written).parts] == [8, 4]


def test_an_arranger_is_told_from_the_composer():
    credits = Credits(composer="Ann Onymous", arranger="Nem O'Body")
    written = tune("2/4 A4 |]", header="C:Ann Onymous\nC:arr. Nem O'Body")
    assert written.credits == credits
    assert read_back(written) == written


def test_signs_with_a_meaning_in_abc_are_escaped_in_texts():
    written = tune("2/4 A4 |]", title=r"100 \% \& no comment")
    assert written.title == "100 % & no comment"
    assert read_back(written) == written


def test_a_book_can_number_its_tunes():
    assert write_abc(tune("2/4 A4 |]"), number=7).startswith("X:7\n")
