"""Is the ink where it belongs? Real music on real sheets, looked at as pictures."""

import base64
import re
from pathlib import Path

import numpy as np
import pypdfium2 as pdfium
import pytest

from api.display.paper.pictures import A4_MUSIC_MM, LINE_GAP_MM, as_large_as_fits, tune_pictures
from api.printing.pdf import Section, section_to_pdf
from planner.engraving.engrave import engrave
from planner.engraving.layout import A4
from planner.engraving.overlay import add_marks
from planner.event.event import Control, Occasion, Setting, Sort
from planner.notation.read import read_tune
from planner.plan import TunePlan, plan_tune
from planner.rules.load import load_rulebook

DEMO_TUNES = sorted((Path(__file__).parents[3] / "seed_data" / "tunes").glob("*.abc"))
MOST_NODES = 40
DPI = 200
EXHIBITION = Setting(Occasion.EXHIBITION, Sort.STANDING, control=Control(4))
"""The occasion that carries the most marks."""


def planned(name: str) -> TunePlan:
    path = next(each for each in DEMO_TUNES if each.stem == name)
    tune = read_tune(path.name, path.read_bytes()).tune
    return plan_tune(tune, EXHIBITION, load_rulebook())


@pytest.fixture(scope="module")
def plan() -> TunePlan:
    return planned("ferry_lamps_of_ternhollow")


@pytest.fixture(scope="module")
def picture(plan: TunePlan) -> np.ndarray:
    """The music as the sheet shows it, alone on a page of its own: dark is True."""
    (drawn,) = tune_pictures(plan.tune, plan.marks).systems
    html = (
        '<html lang="en"><head><title>music</title><style>@page { size: 200mm 200mm; margin: 0 }'
        f'</style></head><body><img style="display: block" src="{drawn.address}" alt="music">'
        "</body></html>"
    )
    page = pdfium.PdfDocument(section_to_pdf(Section(html)))[0]
    return np.asarray(page.render(scale=DPI / 72).to_pil().convert("L")) < 128


@pytest.fixture(scope="module")
def lines(plan: TunePlan):
    """Every line of the engraving, with the height at which it stands in the picture."""
    layout = as_large_as_fits(plan.tune, A4)
    drawn, top, placed = add_marks(engrave(plan.tune, layout), plan.marks), 0.0, []
    for line in drawn.systems:
        placed.append((line, top - line.frame.top))
        top += line.frame.height + LINE_GAP_MM
    return placed


def ink(picture: np.ndarray, left: float, top: float, right: float, bottom: float) -> float:
    """The share of dark dots in a rectangle of millimetres."""
    return float(cut(picture, left, top, right, bottom).mean())


def cut(picture: np.ndarray, left: float, top: float, right: float, bottom: float) -> np.ndarray:
    """A rectangle of millimetres out of the picture."""
    left, top, right, bottom = (round(v / 25.4 * DPI) for v in (left, top, right, bottom))
    return picture[max(0, top) : bottom + 1, max(0, left) : right + 1]


def test_every_note_and_gracenote_has_a_dark_head(picture, lines) -> None:
    heads = [(box, shift) for line, shift in lines for box in line.notes.values()]
    assert len(heads) > 100
    for box, shift in heads:
        assert ink(picture, box.left, box.top + shift, box.right, box.bottom + shift) > 0.3


def test_the_five_lines_of_every_staff_are_there(picture, lines) -> None:
    for line, shift in lines:
        gap = line.staff.height / 4
        for number in range(5):
            y = line.staff.top + shift + number * gap
            assert cut(picture, 2, y - 0.2, 170, y + 0.2).mean(axis=1).max() > 0.95
            between = cut(picture, 2, y + gap / 2 - 0.05, 170, y + gap / 2 + 0.05)
            assert number == 4 or between.mean() < 0.5


def test_gracenotes_hang_from_their_beam_and_melody_notes_stand_on_their_stem(
    picture, lines
) -> None:
    """A gracenote's stem goes up from the right of its head, a melody note's down."""
    for line, shift in lines:
        for name, box in line.notes.items():
            is_gracenote = bool(re.search(r"g\d+$", name))
            x = box.right if is_gracenote else box.left
            top = box.top - 2 if is_gracenote else box.bottom
            column = cut(picture, x - 0.3, top + shift, x + 0.3, top + 2 + shift)
            assert column.mean(axis=0).max() > 0.9


def test_the_gracenotes_of_a_movement_are_joined_by_a_beam(picture, lines) -> None:
    joined = 0
    for line, shift in lines:
        names = [name for name in line.notes if name.endswith("g1")]
        for name in names:
            first, second = line.notes[name.removesuffix("1") + "0"], line.notes[name]
            between = (first.right + 0.4, second.right - 0.4)
            lowest = min(first.top, second.top) + shift
            strip = cut(picture, 0, lowest - 7, 200, lowest)
            columns = slice(*(round(x / 25.4 * DPI) for x in between))
            assert strip[:, columns].any(axis=0).all()
            joined += 1
    assert joined > 10


def test_every_mark_has_its_sign_above_its_note(plan) -> None:
    """The engraving with its marks less the engraving without: what is left is the marks."""
    bare, marked = engrave(plan.tune, A4), add_marks(engrave(plan.tune, A4), plan.marks)
    found = 0
    for before, after in zip(bare.systems, marked.systems, strict=True):
        for box in after.obstacles[len(before.obstacles) :]:
            assert box.bottom < before.staff.top
            assert not [each for each in before.obstacles if each.overlaps(box)]
            found += 1
    assert found == len(plan.marks)


def test_every_mark_leaves_ink_in_its_box(picture, lines, plan) -> None:
    bare = engrave(plan.tune, A4)
    for (line, shift), before in zip(lines, bare.systems, strict=True):
        for box in line.obstacles[len(before.obstacles) :]:
            right = box.right
            assert ink(picture, box.left, box.top + shift, right, box.bottom + shift) > 0.08


@pytest.mark.parametrize("path", DEMO_TUNES, ids=lambda path: path.stem)
def test_a_page_of_music_has_few_shapes_to_draw(path) -> None:
    plan = planned(path.stem)
    pictures = tune_pictures(plan.tune, plan.marks, most_mm=A4_MUSIC_MM)
    signs = [sign.address for _, sign in pictures.signs]
    for block in pictures.systems:
        assert sum(shapes(address) for address in (block.address, *signs)) <= MOST_NODES


def shapes(address: str) -> int:
    drawing = base64.b64decode(address.partition(",")[2]).decode()
    return len(re.findall(r"<(?:path|text)\b", drawing))
