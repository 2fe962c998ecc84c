import pytest

from api.printing.sheets import set_cards_pdf
from tests.api.printing.paper import (
    dark_pixels,
    letters,
    page_sizes_mm,
    page_words,
    picture_of,
    words,
)
from tests.api.printing.views import card_tune, front_card, set_card

LONG_TITLE = "Mrs Ottoline Fairweather's Farewell to the Upper Mill at Brackendale"
HOSTILE_TITLE = "<img src=file:///etc/passwd>"


def in_order(text: str, *parts: str) -> bool:
    """True when the parts stand in the text one after the other."""
    position = 0
    for part in parts:
        position = text.find(part, position)
        if position < 0:
            return False
        position += len(part)
    return True


def test_a_set_card_says_occasion_strictness_tempo_set_and_tunes_in_that_order() -> None:
    text = words(set_cards_pdf((set_card(),)))
    assert in_order(text, "Harvest parade", "Parade", "strict", "84", "Set 1", "Street set")
    assert in_order(
        text, "The Lantern on Harrow Brae", "march · 2/4 · 84 · twice through",
        "two three-pace rolls", "end of part 4", "straight on", "Jo Pell", "Isla Rennick",
        "part 1, bar 3, beat 2: hold the D",
    )  # fmt: skip


def test_every_side_of_a_card_carries_version_and_time() -> None:
    for text in page_words(set_cards_pdf((set_card(*[card_tune(n) for n in (1, 2, 3)]),))):
        assert "version 3, made 12 June 2031 18:04" in text


def test_occasion_tempo_and_strictness_are_the_largest_type() -> None:
    paper = letters(set_cards_pdf((set_card(),)))
    largest = "".join(letter.text for letter in paper if letter.size_pt >= 20)
    assert largest == "Paradestrict84"


def test_names_are_at_least_14_points_and_detail_at_least_11() -> None:
    crowded = set_card(*[card_tune(n, LONG_TITLE) for n in range(1, 9)])
    paper = letters(set_cards_pdf((set_card(), crowded), front_card()))
    assert min(letter.size_pt for letter in paper) >= 11
    names = [letter for letter in paper if "Serif" in letter.font]
    assert min(letter.size_pt for letter in names) >= 14


@pytest.mark.parametrize("tunes", [1, 3, 5, 8, 12])
def test_a_set_takes_at_most_two_sides(tunes: int) -> None:
    card = set_card(*[card_tune(n, LONG_TITLE) for n in range(1, tunes + 1)])
    paper = set_cards_pdf((card,))
    assert len(page_words(paper)) <= 2
    assert words(paper).count("Brackendale") == tunes


def test_an_ordinary_set_is_printed_on_a6_with_its_music() -> None:
    paper = set_cards_pdf((set_card(card_tune(1), card_tune(2)),))
    assert set(page_sizes_mm(paper)) == {(105, 148)}


def test_the_opening_bars_leave_ink_on_the_card() -> None:
    with_music = set_cards_pdf((set_card(card_tune()),))
    without = set_cards_pdf((set_card(card_tune(opening="")),))
    card = (0, 0, 105, 148)
    assert dark_pixels(with_music, card) > dark_pixels(without, card) + 500


def test_a_title_that_looks_like_markup_is_printed_as_text() -> None:
    assert HOSTILE_TITLE in words(set_cards_pdf((set_card(card_tune(title=HOSTILE_TITLE)),)))


def test_a_card_is_black_on_white_only() -> None:
    shades = picture_of(set_cards_pdf((set_card(),)), dpi=50)
    assert shades.getpixel((1, 1)) == 255
    assert shades.getextrema()[0] < 40


def test_the_front_card_lists_the_sets_by_number_and_name() -> None:
    first, *_ = page_words(set_cards_pdf((set_card(),), front_card()))
    assert in_order(first, "arade", "Meet", "09:15", "1", "Street set", "2", "Hill set")
