"""Do the marks stand clear of the music and of each other, over the right notes?"""

from itertools import combinations
from xml.etree import ElementTree

import pytest

from planner.engraving.engrave import engrave
from planner.engraving.engraved import Box, Engraved, System
from planner.engraving.layout import A4, A5, Layout
from planner.engraving.overlay import add_marks
from planner.errors import EngravingError
from planner.marks.marks import Move
from tests.planner.engraving.demo import ENDINGS, NAMES, demo_tune
from tests.planner.engraving.ink import ink_of
from tests.planner.engraving.marks_for_tests import mark, marks_on_every

SVG = "{http://www.w3.org/2000/svg}"


def added(before: System, after: System) -> list[Box]:
    return list(after.obstacles[len(before.obstacles) :])


def pairs(before: Engraved, after: Engraved) -> list[tuple[System, System]]:
    return list(zip(before.systems, after.systems, strict=True))


@pytest.mark.parametrize("layout", [A4, A5], ids=["A4", "A5"])
@pytest.mark.parametrize("name", NAMES)
def test_a_mark_touches_nothing_even_when_marks_are_far_too_many(name: str, layout: Layout) -> None:
    plain = engrave(demo_tune(name), layout)
    for before, after in pairs(plain, add_marks(plain, marks_on_every(3, plain))):
        marks = added(before, after)
        assert not [(one, two) for one, two in combinations(marks, 2) if one.overlaps(two)]
        assert not [one for one in marks for other in before.obstacles if one.overlaps(other)]
        assert all(one.bottom <= before.staff.top for one in marks)


def test_the_ink_of_the_marks_falls_on_white_paper() -> None:
    plain = engrave(demo_tune("keepers_of_whinfathom_light"), A4)
    marked = add_marks(plain, marks_on_every(4, plain))
    before, after = pairs(plain, marked)[5]
    only_marks = after.ink.removeprefix(before.ink)
    frame = after.frame
    music, marks = (
        ink_of(after.svg.replace(after.ink, ink), frame.width, frame.height)
        for ink in (before.ink, only_marks)
    )
    assert marks.sum() > 500
    assert not (music & marks).any()


def test_a_mark_stands_over_its_own_note() -> None:
    plain = engrave(ENDINGS, A4)
    head = plain.systems[0].notes["p1b1e0n0"]
    (box,) = added(*pairs(plain, add_marks(plain, [mark("p1b1e0n0", Move.LATE)]))[0])
    assert box.left < head.centre < box.right


def test_a_hold_reaches_to_the_note_that_waits() -> None:
    plain = engrave(ENDINGS, A4)
    notes = plain.systems[0].notes
    holding = mark("p1b2e0n0", Move.HOLD, "p1b2e0n1")
    marked = ElementTree.fromstring(add_marks(plain, [holding]).svg)
    (sign,) = (g for g in marked.iter(f"{SVG}g") if g.get("class") == "mark mark-hold")
    reach = float(sign[0][0].get("d", "").split("H")[2].split("V")[0])
    gap = notes["p1b2e0n1"].left - notes["p1b2e0n0"].left
    assert gap - 1.0 < reach < gap


def test_a_word_that_would_leave_the_paper_stands_before_its_sign() -> None:
    plain = engrave(demo_tune(NAMES[0]), A4)
    last = list(plain.systems[-1].notes)[-1]
    (box,) = added(*pairs(plain, add_marks(plain, [mark(last, Move.BREATHE)]))[-1])
    assert box.right <= plain.systems[-1].frame.right


def test_every_mark_has_its_word_and_names_its_note() -> None:
    plain = engrave(demo_tune(NAMES[0]), A4)
    marks = marks_on_every(6, plain)
    root = ElementTree.fromstring(add_marks(plain, marks).svg)
    drawn = [g for g in root.iter(f"{SVG}g") if g.get("class", "").startswith("mark ")]
    assert [g.get("data-note") for g in drawn] == [one.place.note_id for one in marks]
    assert ["".join(g.itertext()) for g in drawn] == [one.move.value for one in marks]


def test_a_line_grows_by_what_its_marks_need_and_others_stay() -> None:
    plain = engrave(demo_tune(NAMES[0]), A4)
    first_note = next(iter(plain.systems[0].notes))
    marked = add_marks(plain, [mark(first_note.split("g")[0], Move.EARLY)])
    assert marked.systems[0].frame.height > plain.systems[0].frame.height
    assert marked.systems[1:] == plain.systems[1:]


def test_no_marks_leave_the_drawing_as_it_is() -> None:
    plain = engrave(ENDINGS, A4)
    assert add_marks(plain, []) == plain


def test_a_mark_on_a_note_that_is_not_there_is_refused() -> None:
    with pytest.raises(EngravingError, match="'lean' at part 9, bar 1, beat 1 has no note"):
        add_marks(engrave(ENDINGS, A4), [mark("p9b1e0n0", Move.LEAN)])
