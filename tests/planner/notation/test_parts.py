"""Parts, repeats, endings and bar numbers, as the ABC standard 2.1 (4.8-4.10) reads the signs."""

import pytest

from planner.notation.abc import read_abc
from planner.notation.check import check_tune
from planner.notation.write import write_abc
from tests.builders import tune


def shape(body):
    """Each part as (numbers of its bars, times played, passes of its endings)."""
    built = tune(body)
    return [([bar.number for bar in p.bars], p.times, p.endings) for p in built.parts]


def findings(body):
    read = read_abc(f"X:1\nT:x\nM:2/4\nL:1/8\nK:HP\n{body}\n")[0]
    return [one.code for one in read.findings]


@pytest.mark.parametrize(
    ("body", "expected"),
    [
        ("|: A4 | B4 :|", [([1, 2], 2, ())]),
        ("A4 | B4 :|", [([1, 2], 2, ())]),
        ("A4 | B4 |]", [([1, 2], 1, ())]),
        ("A4 | B4", [([1, 2], 1, ())]),
        ("A4 || B4 |]", [([1], 1, ()), ([1], 1, ())]),
        ("A4 || B4 :|", [([1], 1, ()), ([1], 2, ())]),
        ("|:: A4 ::|", [([1], 3, ())]),
        ("[|: A4 :|]", [([1], 2, ())]),
        ("|: A4 :|\n|: B4 :|", [([1], 2, ()), ([1], 2, ())]),
        ("A4 :| B4 :|", [([1], 2, ()), ([1], 2, ())]),
        ("|: A4 || B4 :|", [([1, 2], 2, ())]),
        ("A4 | | B4 |]", [([1, 2], 1, ())]),
        ("P:A\nA4 | B4 |\nP:B\nc4 |]", [([1, 2], 1, ()), ([1], 1, ())]),
        ("A4 | [P:B] c4 |]", [([1], 1, ()), ([1], 1, ())]),
    ],
)
def test_repeats_double_bars_and_part_names_make_parts(body, expected):
    assert shape(f"2/4 {body}") == expected


@pytest.mark.parametrize("sign", ["::", ":|:", ":||:", ":|]|:", ":| |:"])
def test_every_form_of_the_double_repeat_ends_one_part_and_begins_the_next(sign):
    assert shape(f"2/4 |: A4 {sign} B4 :|") == [([1], 2, ()), ([1], 2, ())]


@pytest.mark.parametrize(
    "signs", [("|1", ":|2"), ("| [1", ":| [2"), ("|[1", ":|[2"), ("| 1", ":| 2"), ("|1", ":||2")]
)
def test_first_and_second_endings_share_their_bar_numbers(signs):
    first, second = signs
    body = f"2/4 |: A4 {first} B4 | c4 {second} d4 | e4 |]"
    assert shape(body) == [([1, 2, 3, 2, 3], 2, ((1,), (2,)))]
    assert [bar.ending for bar in tune(body).parts[0].bars] == [0, 1, 1, 2, 2]


def test_lists_and_ranges_of_endings():
    assert shape("2/4 |: A4 |[1,3 B4 :|[2 c4 :|[4 d4 |]") == [
        ([1, 2, 2, 2], 4, ((1, 3), (2,), (4,)))
    ]
    assert shape("2/4 |: A4 |[1-3 B4 :|[4 c4 |]")[0][2] == ((1, 2, 3), (4,))


def test_a_part_with_endings_is_played_pass_by_pass():
    (part,) = tune("2/4 |: A4 |1 B4 :|2 c4 |]").parts
    played = [bar.notes[0].pitch.name for bar in part.played_bars()]
    assert played == ["low A", "B", "low A", "C"]


def test_a_second_ending_stops_at_the_double_bar():
    assert shape("2/4 |: A4 |1 B4 :|2 c4 || d4 | e4 |]") == [
        ([1, 2, 2], 2, ((1,), (2,))),
        ([1, 2], 1, ()),
    ]


def test_a_short_first_bar_of_a_part_is_the_pick_up():
    body = "2/4 |: e | A4 | B3 :: e | c4 | d3 :|"
    assert shape(body) == [([0, 1, 2], 2, ()), ([0, 1, 2], 2, ())]
    assert check_tune(tune(body)) == ()


def test_a_pick_up_before_the_repeat_sign_belongs_to_its_part():
    assert shape("2/4 e |: A4 | B3 :|") == [([0, 1, 2], 2, ())]
    assert shape("2/4 |: A4 | B3 :| e |: c4 | d3 :|")[1] == ([0, 1, 2], 2, ())


def test_a_part_of_one_short_bar_has_a_bar_one():
    assert shape("2/4 A4 || B2 |]") == [([1], 1, ()), ([1], 1, ())]


def test_a_bar_cut_by_a_line_end_is_one_bar_again_with_a_finding():
    body = "A4 | B4 | c2 |\nd2 | e4 | f4 |]"
    built = tune(f"2/4 {body}")
    assert [bar.length for bar in built.parts[0].bars] == [2] * 5
    assert [bar.starts_line for bar in built.parts[0].bars] == [True, False, False, True, False]
    assert findings(body) == ["split_bar"]


def test_a_bar_cut_by_a_double_bar_inside_a_repeat_is_one_bar_again():
    assert shape("2/4 |: A4 | B2 || c2 | d4 :|") == [([1, 2, 3], 2, ())]


def test_a_bar_cut_by_the_sign_of_an_ending_is_whole_in_every_ending():
    built = tune("2/4 |: A4 | B2 |1 c2 :|2 d2 |]")
    (part,) = built.parts
    assert [(bar.number, bar.ending, bar.length) for bar in part.bars] == [
        (1, 0, 2),
        (2, 1, 2),
        (2, 2, 2),
    ]
    assert findings("|: A4 | B2 |1 c2 :|2 d2 |]") == ["split_bar"]


@pytest.mark.parametrize(
    ("body", "code"),
    [
        ("|: A4 | B4 |]", "repeat_unclosed"),
        ("|: A4 |: B4 :|", "repeat_unclosed"),
        ("|: A4 |1 B4 :| c4 |]", "ending_missing"),
        ("|: A4 |2 B4 :|", "ending_missing"),
        ("A4 [1 B4 | [2 c4 |]", "repeat_unclosed"),
        ("|: A4 |1 B4 :|2 c4 | d4 | e4 | f4 |]", "ending_lengths"),
        ("A4 |:| B4 |]", "bar_sign"),
    ],
)
def test_signs_that_do_not_go_together_are_findings(body, code):
    assert code in findings(body)


@pytest.mark.parametrize(
    ("order", "times"), [("AABB", [2, 2]), ("A2B", [2, 1]), ("AB", [1, 1]), ("(A)3B", [3, 1])]
)
def test_an_order_of_parts_that_repeats_them_in_place_becomes_times_played(order, times):
    built = tune("2/4 \nP:A\nA4 |\nP:B\nB4 |]", header=f"P:{order}")
    assert [part.times for part in built.parts] == times


THREE = "X:1\nT:x\nM:2/4\nL:1/8\nP:{}\nK:HP\nP:A\n{}\nP:B\nB4 |\nP:C\nc4 |]"


@pytest.mark.parametrize(
    ("order", "first", "turns"),
    [
        ("ABCA", "A4 ||", [(1, (1,)), (2, (1,)), (3, (1,)), (1, (1,))]),
        ("ACB", "A4 ||", [(1, (1,)), (3, (1,)), (2, (1,))]),
        ("AABAC", "A4 ||", [(1, (1,)), (1, (1,)), (2, (1,)), (1, (1,)), (3, (1,))]),
        ("(AB)2C", "A4 ||", [(1, (1,)), (2, (1,)), (1, (1,)), (2, (1,)), (3, (1,))]),
        ("ABCA", "|: A4 :|", [(1, (1, 2)), (2, (1,)), (3, (1,)), (1, (1, 2))]),
        ("AABCAA", "|: A4 :|", [(1, (1, 2)), (2, (1,)), (3, (1,)), (1, (1, 2))]),
    ],
)
def test_any_other_order_of_parts_gives_each_its_turns(order, first, turns):
    # 3.1.9: the order of the head, by the letters that stand before the parts
    (read,) = read_abc(THREE.format(order, first))
    assert [(turn.part, turn.passes) for turn in read.tune.order] == turns
    assert "part_order" in {one.code for one in read.findings}
    assert read_abc(write_abc(read.tune))[0].tune == read.tune


@pytest.mark.parametrize(("order", "first"), [("ABXA", "A4 ||"), ("AAABCA", "|: A4 :|")])
def test_an_order_that_names_no_part_or_fights_the_repeats_is_left_out(order, first):
    (read,) = read_abc(THREE.format(order, first))
    assert read.tune.order == ()
    found = {one.code: one.text for one in read.findings}
    assert "is left out; parts are played as printed" in found["part_order"]


def test_an_order_that_says_what_the_repeat_signs_say_needs_no_word():
    (read,) = read_abc(THREE.format("AABC", "|: A4 :|"))
    assert (read.tune.order, [part.times for part in read.tune.parts]) == ((), [2, 1, 1])
    assert "part_order" not in {one.code for one in read.findings}
