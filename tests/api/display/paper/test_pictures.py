import base64
from dataclasses import replace
from xml.etree import ElementTree

from api.display.paper.pictures import opening_picture, scan_pictures, sign_picture, tune_pictures
from planner.marks.marks import Move
from planner.music.tempo import Metre
from planner.music.tune import outline
from tests.api.display.events import march, planned_entry

SVG = "{http://www.w3.org/2000/svg}"


def drawing(address: str) -> ElementTree.Element:
    start, _, packed = address.partition(",")
    assert start == "data:image/svg+xml;base64"
    return ElementTree.fromstring(base64.b64decode(packed))


def test_every_picture_has_its_own_size_and_words_for_those_who_cannot_see_it() -> None:
    plan = planned_entry(march()).plan
    pictures = tune_pictures(plan.tune, plan.marks)
    assert len(pictures.systems) >= 1
    for line in pictures.systems:
        assert drawing(line.address).get("width") == f"{line.width_mm:g}mm"
        assert "The Lantern on Harrow Brae: part 1, four bars." in line.label
        assert "Marks: part 1, bar 1, beat 1: play the taorluath on low A tight" in line.label


def test_the_word_of_a_mark_stands_on_the_staff() -> None:
    plan = planned_entry(march()).plan
    texts = [
        text.text
        for line in tune_pictures(plan.tune, plan.marks).systems
        for text in drawing(line.address).iter(f"{SVG}text")
    ]
    assert texts.count("tighten") == len(plan.marks)
    assert "tighten" not in [
        text.text
        for line in tune_pictures(plan.tune, ()).systems
        for text in drawing(line.address).iter(f"{SVG}text")
    ]


def test_only_the_signs_that_are_used_are_drawn_for_the_legend() -> None:
    plan = planned_entry(march()).plan
    assert [move for move, _ in tune_pictures(plan.tune, plan.marks).signs] == [Move.TIGHTEN]


def test_every_move_has_a_sign_with_ink() -> None:
    for move in Move:
        assert list(drawing(sign_picture(move).address).iter(f"{SVG}path"))


def test_the_opening_is_shorter_than_the_tune_and_fits_a_card() -> None:
    picture = drawing(opening_picture(march()))
    assert 30 < float(str(picture.get("width")).removesuffix("mm")) <= 91


def test_the_opening_shows_the_signs_of_its_marks_and_leaves_their_words_to_the_card() -> None:
    plan = planned_entry(march()).plan
    bare, signed = (drawing(opening_picture(plan.tune, marks)) for marks in ((), plan.marks))
    assert not list(signed.iter(f"{SVG}text"))
    assert outlines(signed) > outlines(bare)


def outlines(picture: ElementTree.Element) -> int:
    """How many closed shapes the drawing has."""
    return sum(path.get("d", "").lower().count("z") for path in picture.iter(f"{SVG}path"))


def test_a_tune_without_notes_has_its_scan_instead_of_music() -> None:
    bare = outline("The Mill Gate", Metre(6, 8), ((8, 2),))
    scans = scan_pictures([(b"one", 20, 30), (b"two", 30, 20)], "The Mill Gate")
    assert [scan.is_tall for scan in scans] == [True, False]
    assert scans[1].label == "Scan of The Mill Gate, page 2 of 2"
    assert opening_picture(bare) == ""
    assert tune_pictures(bare, (), scans).scans == scans
    assert tune_pictures(bare, (), scans).systems == ()


def test_what_cannot_be_drawn_is_told_and_the_sheet_still_comes() -> None:
    plan = planned_entry(march()).plan
    place = plan.marks[0].place
    astray = replace(place, address=replace(place.address, bar=9))
    pictures = tune_pictures(plan.tune, [replace(plan.marks[0], place=astray)])
    assert pictures.systems == ()
    assert "has no note on the staff" in pictures.problem
