"""Does the engraver draw what the tune says, on the paper it is given, the same every time?"""

import re
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from planner.engraving import engrave as door
from planner.engraving.engrave import engrave
from planner.engraving.layout import A4, A5, CARD, Layout, first_bars
from planner.errors import EngravingError
from planner.music.scale import Pitch
from planner.music.tempo import Metre
from planner.music.tune import Bar, Note, Part, Tune, outline
from tests.builders import tune
from tests.planner.engraving.demo import CORNERS, ENDINGS, NAMES, TRIPLETS, demo_tune
from tests.planner.engraving.ink import ink_of

SVG = "{http://www.w3.org/2000/svg}"
MARCH = "keepers_of_whinfathom_light"  # four parts, endings


def all_notes(written: Tune) -> set[str]:
    return {
        f"p{part.number}b{bar.number}e{bar.ending}n{index}{grace}"
        for part in written.parts
        for bar in part.bars
        for index, note in enumerate(bar.notes)
        for grace in ("", *(f"g{number}" for number in range(len(note.gracenotes))))
    }


@pytest.mark.parametrize("name", NAMES)
def test_every_note_and_gracenote_of_a_demo_tune_is_drawn_once_with_its_box(name: str) -> None:
    drawn = engrave(demo_tune(name), A4)
    boxes = [note for system in drawn.systems for note in system.notes]
    groups = ElementTree.fromstring(drawn.svg).iter(f"{SVG}g")
    ids = {group.get("id") for group in groups if group.get("class") in ("note", "gracenote")}
    assert len(boxes) == len(set(boxes))
    assert set(boxes) == ids == all_notes(demo_tune(name))


@pytest.mark.parametrize("corner", CORNERS, ids=lambda corner: corner.title)
def test_the_corners_of_notation_are_drawn(corner: Tune) -> None:
    boxes = {note for system in engrave(corner, A4).systems for note in system.notes}
    assert all_notes(corner) <= boxes


@pytest.mark.parametrize("layout", [A4, A5], ids=["A4", "A5"])
@pytest.mark.parametrize("name", NAMES)
def test_every_line_fits_its_paper(name: str, layout: Layout) -> None:
    drawn = engrave(demo_tune(name), layout)
    assert layout.smallest_staff_mm <= drawn.staff_mm <= layout.staff_mm
    for system in drawn.systems:
        assert max(box.right for box in system.notes.values()) < layout.line_mm
        assert system.staff.right <= layout.line_mm
        assert min(box.left for box in system.obstacles) >= 0


@pytest.mark.parametrize("name", NAMES)
def test_no_two_heads_touch_on_the_fullest_page(name: str) -> None:
    for system in engrave(demo_tune(name), A5).systems:
        heads = sorted(system.notes.values(), key=lambda box: box.left)
        for before, after in pairwise(heads):
            assert not before.overlaps(after)


def test_a_short_last_line_is_set_as_closely_as_the_others() -> None:
    systems = engrave(demo_tune(MARCH), A4).systems
    by_bar = [line.staff.width / sum("b0" not in bar for bar in line.bars) for line in systems]
    short = [width for width, line in zip(by_bar, systems, strict=True) if len(line.bars) == 2]
    full = sorted(width for width, line in zip(by_bar, systems, strict=True) if len(line.bars) > 2)
    assert len(short) == 2, "two second endings of two bars"
    assert all(0.9 * full[0] < width < 1.25 * full[-1] for width in short)


def test_a_four_part_march_takes_one_a4_page_and_a_two_part_tune_one_a5_page() -> None:
    title_and_margins_mm = 60
    assert engrave(demo_tune(MARCH), A4).height_mm < 297 - title_and_margins_mm
    assert engrave(demo_tune("skelder_row_in_the_rain"), A5).height_mm < 210 - title_and_margins_mm


def test_melody_stems_hang_and_gracenote_stems_rise() -> None:
    system = engrave(tune("2/4 | {g}A2 c2 |]"), A4).systems[0]
    for name, head in system.notes.items():
        stems = [
            b for b in system.obstacles if b.height > 2 * b.width and b.overlaps(head.grown(0.1))
        ]
        stem = max(stems, key=lambda box: box.height)
        assert (stem.top < head.top) == ("g" in name)


def beam_heights(written: Tune) -> set[str]:
    """At which heights beams (polygons of four corners) are drawn; flat beams all of them."""
    polygon = re.compile(r'd="M-?\d+ (-?\d+)(?:L-?\d+ -?\d+){3}z"')
    return set(polygon.findall(engrave(written, A4).svg))


def test_three_beams_join_the_gracenotes_and_one_the_quavers() -> None:
    assert len(beam_heights(tune("2/4 | {gcd}A4 |]"))) == 3
    assert len(beam_heights(tune("2/4 | AB c2 |]"))) == 1
    assert len(beam_heights(tune("2/4 | {g}A2 c2 |]"))) == 0


def test_the_staff_has_the_height_asked_for() -> None:
    system = engrave(tune("2/4 | A4 |]"), A4).systems[0]
    assert system.staff.height == pytest.approx(6.0, abs=0.01)


def test_a_line_too_full_is_drawn_smaller_and_then_broken_in_two() -> None:
    narrow = Layout(paper_width_mm=100, side_margin_mm=5, staff_mm=6.0, smallest_staff_mm=5.0)
    wide, broken = engrave(demo_tune(MARCH), A4), engrave(demo_tune(MARCH), narrow)
    assert len(broken.systems) > len(wide.systems)
    assert broken.staff_mm >= 5.0


def test_a_bar_too_full_for_any_paper_is_refused() -> None:
    full = tune("4/4 | " + "{GdGe}A/{gcd}c/" * 20 + " |]")
    with pytest.raises(EngravingError, match="too short for its fullest bar"):
        engrave(full, Layout(paper_width_mm=60, side_margin_mm=5, staff_mm=6, smallest_staff_mm=6))


def test_the_beginning_of_a_tune_makes_one_short_line() -> None:
    start = first_bars(demo_tune(MARCH), 2)
    drawn = engrave(start, CARD)
    assert [list(system.bars) for system in drawn.systems] == [["p1b0e0", "p1b1e0", "p1b2e0"]]
    assert drawn.width_mm <= CARD.line_mm
    assert drawn.systems[0].frame.width < CARD.line_mm


@pytest.mark.parametrize("name", NAMES)
def test_two_bars_of_every_demo_tune_fit_the_card(name: str) -> None:
    drawn = engrave(first_bars(demo_tune(name), 2), CARD)
    assert len(drawn.systems) == 1
    assert max(box.right for box in drawn.systems[0].notes.values()) <= CARD.line_mm


def test_a_pickup_and_the_endings_have_their_own_bars() -> None:
    bars = [name for system in engrave(ENDINGS, A4).systems for name in system.bars]
    assert bars == ["p1b0e0", "p1b1e0", "p1b2e0", "p1b3e1", "p1b4e1", "p1b3e2", "p1b4e2"]


def test_the_same_tune_gives_the_same_bytes_in_a_fresh_process() -> None:
    first = engrave(demo_tune(MARCH), A4).svg
    engrave(demo_tune(NAMES[0]), A5)
    engrave.cache_clear()
    again = engrave(demo_tune(MARCH), A4).svg
    door.engraver.close()
    engrave.cache_clear()
    assert first == again == engrave(demo_tune(MARCH), A4).svg


def test_no_tune_leaves_a_trace_in_the_next() -> None:
    off_the_chanter = Bar(1, Metre(3, 8), (Note(Pitch("B", -1, 5), Fraction(3, 2)),))
    before = engrave(TRIPLETS, A4).svg
    engrave(Tune("Flat", Metre(3, 8), (Part(1, (off_the_chanter,)),)), A4)
    engrave.cache_clear()
    assert engrave(TRIPLETS, A4).svg == before


def test_the_drawing_has_no_stylesheet_no_script_and_no_foreign_family() -> None:
    svg = engrave(demo_tune(MARCH), A4).svg
    families = set(ElementTree.fromstring(svg).iter(f"{SVG}text"))
    assert "<style" not in svg
    assert "style=" not in svg
    assert {text.get("font-family") for text in families} == {"Pacestick Serif", "Pacestick Sans"}


def test_nothing_is_remarked_about_a_demo_tune() -> None:
    assert engrave(demo_tune(MARCH), A4).remarks == ()


def test_labels_and_numbers_are_drawn_only_when_wished() -> None:
    two_parts = outline("Scan", Metre(6, 8), ((8, 2), (8, 2)))
    quiet = replace(A4, shows_part_labels=False, shows_bar_numbers=False)
    words = [
        [text.text for text in ElementTree.fromstring(svg).iter(f"{SVG}text")]
        for svg in (engrave(two_parts, A4).svg, engrave(two_parts, quiet).svg)
    ]
    assert words == [["Part 1", "5", "Part 2", "5"], []]


def test_a_tune_without_notes_is_drawn_as_blank_bars() -> None:
    drawn = engrave(outline("Scan", Metre(6, 8), ((8, 2), (8, 2))), A4)
    assert len([bar for system in drawn.systems for bar in system.bars]) == 16
    assert all(system.notes == {} for system in drawn.systems)


@pytest.mark.parametrize(
    ("layout", "sentence"),
    [
        ({"paper_width_mm": 40.0}, "A line of music of 10 mm cannot be drawn"),
        ({"paper_width_mm": 5000.0}, "A line of music of 4970 mm cannot be drawn"),
        ({"staff_mm": 3.0}, "A staff 4 to 3 mm high cannot be drawn"),
        ({"staff_mm": float("nan")}, "cannot be drawn"),
    ],
)
def test_a_layout_that_makes_no_sense_is_refused(layout: dict[str, float], sentence: str) -> None:
    with pytest.raises(EngravingError, match=sentence):
        replace(A4, **layout)


def test_there_is_ink_on_the_paper() -> None:
    system = engrave(tune("2/4 | A4 |]"), A4).systems[0]
    dark = ink_of(system.svg, system.frame.width, system.frame.height)
    assert 0.01 < dark.mean() < 0.2


def test_a_beginning_too_long_for_the_card_goes_on_in_a_second_line() -> None:
    drawn = engrave(first_bars(demo_tune("lantern_boats_of_quernwater"), 6), CARD)
    assert len(drawn.systems) > 1
    assert all(system.staff.right <= CARD.line_mm for system in drawn.systems)
