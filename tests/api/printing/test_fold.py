import pytest

from api.printing.fold import fold, folded_order
from api.printing.pdf import Section, sections_to_pdf
from tests.api.printing.paper import dark_pixels, page_sizes_mm, page_words


def side(word: str) -> Section:
    head = f'<html lang="en"><head><title>{word}</title></head>'
    return Section(f'{head}<body class="card"><h1>{word}</h1></body></html>')


def folded(*words: str) -> bytes:
    plain = sections_to_pdf([side(word) for word in words], "All sides")
    return fold(plain, "Folded", "ab" * 16)


@pytest.fixture(scope="module")
def booklet() -> bytes:
    return folded("one", "two", "three", "four", "five")


def read_as_folded(order) -> list[int | None]:
    """The sides in the order in which a hand turns the pages of the folded sheets.

    Sheet upon sheet, the outermost first: its right half is read first, then, turned over, its
    left half; the inner sheets follow; then back outwards over the other halves.
    """
    fronts, backs = order[0::2], order[1::2]
    first = [
        side for front, back in zip(fronts, backs, strict=True) for side in (front[1], back[0])
    ]
    last = [side for front, back in zip(fronts, backs, strict=True) for side in (front[0], back[1])]
    return first + last[::-1]


@pytest.mark.parametrize("sides", [3, 4, 5, 8, 9, 13])
def test_the_sides_of_a_booklet_are_read_in_order(sides: int) -> None:
    read = read_as_folded(folded_order(sides))
    assert [each for each in read if each is not None] == list(range(sides))
    assert len(read) % 4 == 0


def test_two_sides_lie_on_one_sheet_folded_outwards() -> None:
    assert folded_order(2) == ((1, 0),)
    assert folded_order(1) == ((None, 0),)


def test_a_booklet_of_a6_sides_is_printed_on_a5(booklet: bytes) -> None:
    assert page_sizes_mm(booklet) == [(210, 148)] * 4


def test_every_side_stands_in_its_half(booklet: bytes) -> None:
    texts = page_words(booklet)
    assert [[w for w in text.split() if w in WORDS] for text in texts] == [
        ["one"], ["two"], ["three"], ["four", "five"],
    ]  # fmt: skip
    assert dark_pixels(booklet, (0, 0, 105, 148), page=0) == 0
    assert dark_pixels(booklet, (105, 0, 210, 148), page=0) > 50
    assert dark_pixels(booklet, (0, 0, 105, 148), page=1) > 50


WORDS = ("one", "two", "three", "four", "five")
