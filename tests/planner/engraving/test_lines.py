"""Does a printed line begin where a player looks for it?"""

from planner.engraving.lines import halved_lines, line_starts
from planner.music.tempo import Metre
from planner.music.tune import outline
from tests.builders import tune


def test_a_line_is_four_bars_with_its_pickup() -> None:
    two_parts = tune("2/4 |: A | B4 | c4 | d4 | e4 | f4 | e4 | d4 | c3 :: A | B4 | c4 | d4 | e3 :|")
    assert line_starts(two_parts) == {"p1b0e0", "p1b5e0", "p2b0e0"}


def test_the_writers_own_lines_are_kept() -> None:
    own = tune("2/4 | A4 | B4 | c4 |\nd4 | e4 | f4 |]")
    assert line_starts(own) == {"p1b1e0", "p1b4e0"}


def test_a_line_of_eight_bars_is_too_tight_and_is_set_by_fours() -> None:
    long = tune("2/4 | A4 | B4 | c4 | d4 | e4 | f4 | e4 | d4 |\nA4 | B4 | c4 | d4 |]")
    assert line_starts(long) == {"p1b1e0", "p1b5e0", "p1b9e0"}


def test_the_tunes_own_line_length_counts() -> None:
    six = outline("Six", Metre(3, 4), ((12, 1),), line_bars=6)
    assert line_starts(six) == {"p1b1e0", "p1b7e0"}


def test_short_endings_stay_on_their_line_and_long_ones_begin_one() -> None:
    short = tune("2/4 |: A4 | B4 | c4 |1 d4 :|2 e4 |]")
    long = tune("2/4 |: A4 |1 d4 | c4 | B4 :|2 e4 | f4 | e4 |]")
    assert line_starts(short) == {"p1b1e0"}
    assert line_starts(long) == {"p1b1e0", "p1b2e2"}


def test_a_single_bar_does_not_stand_alone_on_a_line() -> None:
    nine = outline("Nine", Metre(2, 4), ((9, 1),))
    assert line_starts(nine) == {"p1b1e0", "p1b5e0"}
    ending = tune("2/4 |: A4 | B4 | c4 | d4 |\ne4 | f4 | g4 |1 a4 :|\n[2 A4 |]")
    assert line_starts(ending) == {"p1b1e0", "p1b5e0"}


def test_a_part_of_one_bar_has_its_line_and_a_full_line_takes_no_more() -> None:
    short = outline("Short", Metre(2, 4), ((1, 1), (8, 1)))
    assert line_starts(short) == {"p1b1e0", "p2b1e0", "p2b5e0"}
    seven = outline("Seven", Metre(2, 4), ((7, 1),), line_bars=6)
    assert line_starts(seven) == {"p1b1e0", "p1b7e0"}


def test_a_line_too_full_is_broken_in_the_middle() -> None:
    assert halved_lines([["a", "b", "c", "d"], ["e"]], [0]) == {"c"}
    assert halved_lines([["a"], ["b"]], [0, 1]) == set(), "a bar is not broken"


def test_lines_of_as_many_bars_are_broken_alike() -> None:
    lines = [["a", "b", "c", "d"], ["e", "f", "g", "h"], ["i", "j"]]
    assert halved_lines(lines, [0]) == {"c", "g"}
