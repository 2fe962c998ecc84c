"""A line or two of ABC for a tune that is there already: read whole, or refused in one sentence."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.errors import NotationError
from planner.music.tempo import Metre
from planner.music.tune import Bar
from planner.notation.passage import LONGEST, read_passage, refuse_lengths
from planner.notation.write import write_bar

TWO_FOUR, SIX_EIGHT, CUT = Metre(2, 4), Metre(6, 8), Metre(2, 2, "C|")
# What ABC is made of, so that most of what is tried is nearly music.
PIECES = st.sampled_from(
    [*"ABcdefga", "G", "2", "/", "<", ">", "|", "||", ":|", "|:", "[1", "{g}", "{GdG}", "(3", "z",
     "[L:1/16]", "[M:3/4]", "[K:D]", "\n", "X:2\n", "T:x\n", "%", "\\", "~", "-", "(", ")",
     "!", "&"]
)  # fmt: skip


@given(st.lists(PIECES, max_size=25).map("".join) | st.text(max_size=60))
@settings(max_examples=400, deadline=None)
def test_it_is_bars_or_one_sentence(text: str) -> None:
    for metre in (TWO_FOUR, SIX_EIGHT, CUT):
        bars, sentence = read_or_refused(text, metre)
        assert bool(bars) != bool(sentence)
        if sentence:
            assert sentence.startswith("the link")
            assert sentence.endswith(".")
            assert "\n" not in sentence
        else:
            assert any(note.pitch for bar in bars for note in bar.notes)
            first = bars[0].number
            assert [bar.number for bar in bars] == list(range(first, first + len(bars)))


def read_or_refused(text: str, metre: Metre) -> tuple[tuple[Bar, ...], str]:
    try:
        return read_passage("the link", text, metre, "HP"), ""
    except NotationError as error:
        return (), str(error)


@pytest.mark.parametrize(
    ("text", "metre", "lengths"),
    [
        ("{g}A2 {gef}e2", TWO_FOUR, [2]),
        ("A>B c<d", TWO_FOUR, [2]),
        ("(3efg a2", TWO_FOUR, [2]),
        ("[L:1/16] efga {g}A4", TWO_FOUR, [2]),
        ("L:1/16\nefga {g}A4", TWO_FOUR, [2]),
        ("{g}A3 {gef}e3", SIX_EIGHT, [3]),
        ("f | {g}A4 e4 | {g}A4 e3", CUT, [Fraction(1, 2), 4, Fraction(7, 2)]),
    ],
)
def test_a_plain_letter_is_a_quaver_in_the_metre_of_the_tune(
    text: str, metre: Metre, lengths: list[Fraction]
) -> None:
    bars = read_passage("the link", text, metre, "HP")
    assert [bar.length for bar in bars] == lengths
    assert all(bar.metre == metre for bar in bars)


@pytest.mark.parametrize(
    "text", ["{g}A2 {gef}e2", "A3/2B/2 {Gdc}d2", "(3efg a2", "e/2f/2g/2a/2 {g}A2", "ef ga"]
)
def test_a_bar_written_out_is_read_as_the_same_bar(text: str) -> None:
    (bar,) = read_passage("the bar", text, TWO_FOUR, "HP")
    (again,) = read_passage("the bar", write_bar(bar, "HP"), TWO_FOUR, "HP")
    assert again == bar


def test_a_pick_up_is_bar_0_and_the_first_full_bar_is_bar_1() -> None:
    bars = read_passage("the link", "f | A4 | e3", TWO_FOUR, "HP")
    assert [bar.number for bar in bars] == [0, 1, 2]


def test_what_is_too_long_is_not_read_at_all() -> None:
    with pytest.raises(NotationError, match="too long"):
        read_passage("the link", "A4|" * LONGEST, TWO_FOUR, "HP")


def test_the_last_bar_of_a_link_may_leave_room_for_a_pick_up() -> None:
    bars = read_passage("the link", "A4 | e3", TWO_FOUR, "HP")
    refuse_lengths("the link", bars, [Fraction(1, 2)])
    with pytest.raises(NotationError, match=r"bar 2: it holds 1 1/2 crotchets where 2/4 has 2"):
        refuse_lengths("the link", bars, [Fraction(0)])


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("A2 ?e2", "the link, bar 1, line 1, column 4: the sign ? is not music;"),
        ("A4 |\ne2 ?e2", "the link, bar 2, line 2, column 4: the sign ? is not music;"),
    ],
)
def test_a_sign_that_is_no_music_is_named_with_its_place(text: str, sentence: str) -> None:
    with pytest.raises(NotationError) as refused:
        read_passage("the link", text, TWO_FOUR, "HP")
    assert str(refused.value).startswith(sentence)
