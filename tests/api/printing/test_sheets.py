from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest

from api.printing.pdf import sections_to_pdf
from api.printing.sheets import (
    call_sections,
    drum_sections,
    phrased_sections,
    set_card_sections,
)
from tests.api.printing.paper import (
    dark_pixels,
    letters,
    page_sizes_mm,
    page_words,
    picture_of,
    words,
)
from tests.api.printing.views import (
    LINE,
    VERSION,
    call_sheet,
    card_tune,
    drum_sheet,
    drum_tune,
    front_card,
    phrased_music,
    phrased_tune,
    set_card,
)

LONG_TITLE = "Mrs Ottoline Fairweather's Farewell to the Upper Mill at Brackendale"
HOSTILE_TITLE = "<img src=file:///etc/passwd>"


def set_cards_pdf(cards, front=None) -> bytes:
    return sections_to_pdf(set_card_sections(cards, front))


def phrased_music_pdf(sheet) -> bytes:
    return sections_to_pdf(phrased_sections(sheet))


def drum_sheet_pdf(sheet) -> bytes:
    return sections_to_pdf(drum_sections(sheet))


def call_sheet_pdf(sheet) -> bytes:
    return sections_to_pdf(call_sections(sheet))


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
        assert "version 3, made 12 Jun 2031 18:04" in text


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


@pytest.mark.parametrize("tunes", [1, 3, 12])
def test_a_set_takes_at_most_two_sides(tunes: int) -> None:
    card = set_card(*[card_tune(n, LONG_TITLE) for n in range(1, tunes + 1)])
    paper = set_cards_pdf((card,))
    assert len(page_words(paper)) <= 2
    assert words(paper).count("Brackendale") == tunes


def test_a_set_of_thirty_tunes_counts_them_whole_and_cuts_nothing_off() -> None:
    card = set_card(*[card_tune(n, f"Tune called {n}") for n in range(1, 31)])
    pages = page_words(set_cards_pdf((card,)))
    assert len(pages) <= 4
    for number in range(1, 31):
        assert f"{number} Tune called {number}" in " ".join(pages)
    assert "Stop signal" in pages[-1]
    assert "Tune called" in pages[-1], "the stop signal does not stand alone"


def test_the_stop_signal_stands_below_a_tune_whatever_the_set() -> None:
    for count in (1, 2, 3, 5, 8):
        card = set_card(*[card_tune(n, f"{LONG_TITLE}, {n}") for n in range(1, count + 1)])
        last = page_words(set_cards_pdf((card,)))[-1]
        assert "Stop signal" in last
        assert "Brackendale" in last


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


@pytest.mark.parametrize(
    "title", ["Łukasz Żółć", "Seán’s Reel", "Дмитрий", "Αθηνά", "Nguyễn Thị Ánh"]
)
def test_names_of_latin_greek_and_cyrillic_letters_are_set_in_the_shipped_type(title) -> None:
    made = set_cards_pdf((set_card(card_tune(title=title)),))
    assert title in words(made)
    assert all(letter.font.split("+")[-1].startswith("Pacestick") for letter in letters(made))


def test_a_letter_that_no_font_has_is_a_box_and_never_blank(caplog) -> None:
    boxed, blank = (
        dark_pixels(set_cards_pdf((set_card(card_tune(title=title)),)), (0, 0, 105, 148))
        for title in ("\U0001f6d9" * 8, "")
    )
    assert boxed > blank + 100
    caplog.clear()


def test_a_card_is_black_on_white_only() -> None:
    shades = picture_of(set_cards_pdf((set_card(),)), dpi=50)
    assert shades.getpixel((1, 1)) == 255
    assert shades.getextrema()[0] < 40


def test_the_front_card_lists_the_sets_by_number_and_name() -> None:
    first, *_ = page_words(set_cards_pdf((set_card(),), front_card()))
    assert in_order(first, "arade", "Meet", "09:15", "1", "Street set", "2", "Hill set")


def test_the_phrased_music_says_how_freely_then_shows_signs_marks_and_what_was_left_off() -> None:
    text = words(phrased_music_pdf(phrased_music()))
    assert in_order(
        text, "Street set", "The Lantern on Harrow Brae", "84 crotchets a minute",
        "Within the beat", "slight", "Across the bar", "none",
        "hold", "Stay on this note.",
        "Part 1, bar 3, beat 2", "Hold D, C pays", "It opens a line.", "A note that pays",
    )  # fmt: skip
    assert in_order(text, "Left off on this occasion", "No room: part 2, bar 1, beat 1.")
    assert in_order(text, "Why this much freedom", "within the beat slight")
    assert in_order(text, "A. Tarn", "arranged by B. Moss")


def test_the_lines_of_music_leave_ink_where_they_stand() -> None:
    with_music = phrased_music_pdf(phrased_music())
    box = (15, 60, 195, 180)
    without = phrased_music_pdf(phrased_music(phrased_tune(systems=())))
    assert dark_pixels(with_music, box) > dark_pixels(without, box) + 5_000


def test_every_tune_starts_on_a_new_page() -> None:
    pages = page_words(phrased_music_pdf(phrased_music(phrased_tune("One"), phrased_tune("Two"))))
    assert len(pages) == 2
    assert "One" in pages[0]
    assert "Two" in pages[1]


def test_a_line_of_music_is_never_split_between_two_pages() -> None:
    tune = phrased_tune(systems=(LINE,) * 40, marks=(), legend=())
    paper = phrased_music_pdf(phrased_music(tune))
    rules = [staff_lines(paper, page) for page in range(len(page_words(paper)))]
    assert len(rules) == 3
    assert sum(rules) == 40 * 5 + 1  # one rule stands below the title
    assert all(count % 5 == 0 for count in rules[1:])


def staff_lines(paper: bytes, page: int) -> int:
    """Rows of the page at 150 dpi that hold one long dark line, neighbouring rows counted once."""
    picture = picture_of(paper, page, dpi=150)
    width, height = picture.size
    column = [
        picture.crop((width // 5, y, width // 3, y + 1)).getextrema()[1] for y in range(height)
    ]
    dark = [shade < 170 for shade in column]
    return sum(now and not before for before, now in zip([False, *dark], dark, strict=False))


def test_the_foot_of_every_page_names_the_tune_and_counts_its_pages() -> None:
    long = phrased_tune(LONG_TITLE, systems=(LINE,) * 40)
    pages = page_words(phrased_music_pdf(phrased_music(long, phrased_tune("Two"))))
    assert f"page 2 of 3 of {LONG_TITLE}" in pages[1]
    assert "page 1 of 1 of Two" in pages[3]


def test_a_plan_without_marks_says_so_on_paper() -> None:
    bare = phrased_tune(marks=(), legend=(), paying="", no_marks="No marks: play it as written.")
    text = words(phrased_music_pdf(phrased_music(bare)))
    assert "No marks: play it as written." in text
    assert "Where" not in text


def test_a_tune_without_notes_shows_its_scan() -> None:
    bare = phrased_tune(systems=(), no_notes="No notes on file: the scan is printed.")
    scanned = replace(bare, scans=(LINE,))
    assert "No notes on file" in words(phrased_music_pdf(phrased_music(bare)))
    page = (0, 0, 210, 297)
    ink, without = (
        dark_pixels(phrased_music_pdf(phrased_music(view)), page) for view in (scanned, bare)
    )
    assert ink > without + 500


def test_the_drum_sheet_has_every_bar_with_its_word() -> None:
    text = words(drum_sheet_pdf(drum_sheet()))
    assert text.count("strict") >= 4 * 7
    assert in_order(
        text, "Drum sheet", "Harvest parade", "Strict tempo but for one mark to follow.",
        "Changed since the last print", "now leans", "The Lantern on Harrow Brae",
        "Part 1", "1", "follow", "beat 2", "35 ms later", "Part 4",
    )  # fmt: skip


@pytest.mark.parametrize("dpi", [200, 140], ids=["as printed", "copied at 70 %"])
def test_each_verdict_has_a_shape_of_its_own_in_black_and_white(dpi: int) -> None:
    shapes = {word: verdict_ink(word, dpi) for word in ("strict", "watch", "follow", "conflict")}
    for one, other in combinations(shapes.values(), 2):
        assert one.any()
        assert (one ^ other).sum() > 0.25 * (one | other).sum(), "too alike without grey or colour"


def verdict_ink(word: str, dpi: int) -> np.ndarray:
    """Where the sign of a verdict is dark, as the legend of a sheet shows it."""
    paper = drum_sheet_pdf(drum_sheet(changes=(), legend=((word, ""),)))
    grey = np.asarray(picture_of(paper, dpi=dpi))
    box = [round(value * dpi / 200) for value in (380, 432, 112, 143)]
    return grey[box[0] : box[1], box[2] : box[3]] < 128


def test_a_strip_keeps_its_bars_on_one_line_up_to_ten() -> None:
    text = words(drum_sheet_pdf(drum_sheet(drum_tune(bars=10))))
    assert "10" in text


def test_the_call_sheet_is_one_page_with_times_first() -> None:
    paper = call_sheet_pdf(call_sheet())
    assert len(page_words(paper)) == 1
    assert in_order(
        words(paper), "Call sheet", "Harvest parade", "Meet", "09:15", "Step-off", "10:30",
        "the mill green", "Hazards", "wet cobbles", "Running order", "Set 1: Street set",
        "Who is coming", "Pipes", "8", "6", "enough", "Usual cautions",
    )  # fmt: skip


@pytest.mark.parametrize(
    "paper",
    [
        lambda: set_cards_pdf((set_card(),), front_card()),
        lambda: phrased_music_pdf(phrased_music(phrased_tune("One"), phrased_tune("Two"))),
        lambda: drum_sheet_pdf(drum_sheet(*[drum_tune(f"Tune {n}") for n in range(4)])),
        lambda: call_sheet_pdf(call_sheet()),
    ],
    ids=["set cards", "phrased music", "drum sheet", "call sheet"],
)
def test_every_page_of_every_sheet_carries_version_time_and_shipped_fonts(paper) -> None:
    made = paper()
    assert all(VERSION in text for text in page_words(made))
    assert all(letter.font.split("+")[-1].startswith("Pacestick") for letter in letters(made))
    assert min(letter.size_pt for letter in letters(made)) >= 8


def test_hostile_words_are_printed_as_text_on_every_sheet() -> None:
    sheets = (
        phrased_music_pdf(phrased_music(phrased_tune(HOSTILE_TITLE))),
        drum_sheet_pdf(drum_sheet(drum_tune(HOSTILE_TITLE))),
        call_sheet_pdf(call_sheet(event=HOSTILE_TITLE)),
    )
    assert all(HOSTILE_TITLE in words(paper) for paper in sheets)


@pytest.mark.parametrize(
    "title",
    ["W" * 300, "太鼓 と 笛", "ऱ‮title", "A\x0bB", "🥁 and 🎶", ""],
    ids=["unbroken", "far script", "turned", "control", "picture", "empty"],
)
def test_no_title_breaks_a_sheet_or_leaves_the_paper(
    title: str, caplog: pytest.LogCaptureFixture
) -> None:
    for paper in (
        set_cards_pdf((set_card(card_tune(title=title)),)),
        phrased_music_pdf(phrased_music(phrased_tune(title))),
        drum_sheet_pdf(drum_sheet(drum_tune(title))),
    ):
        width, height = picture_of(paper).size
        edge = picture_of(paper).crop((width - 4, 0, width, height))
        assert edge.getextrema()[0] > 200
    assert all("unsupported by fonts" in record.getMessage() for record in caplog.records)
    caplog.clear()  # a letter that no font has is worth a line in the log and no more
