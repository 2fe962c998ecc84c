from dataclasses import replace

from api.display.paper import changes as found
from api.display.paper.changes import contents_of
from api.display.paper.drum_sheet import drum_sheet_view
from tests.api.display.events import CONTEST, jig, march, planned_entry, planned_event, planned_set


def sheet(*entries):
    return drum_sheet_view(planned_event(planned_set(*entries), setting=CONTEST))


def changes_between(before, now) -> tuple[str, ...]:
    return tuple(change.words for change in found.changes_between(before, now))


MARCH = contents_of(sheet(planned_entry(march(), CONTEST)))


def test_the_same_sheet_has_no_changes() -> None:
    assert changes_between(MARCH, contents_of(sheet(planned_entry(march(), CONTEST)))) == ()


def test_a_bar_that_asks_something_else_is_told_with_what_it_was() -> None:
    strict = contents_of(sheet(planned_entry(march())))
    assert changes_between(strict, MARCH) == (
        "The Lantern on Harrow Brae, tempo: 76 crotchets a minute, agreed tempo "
        "(was 76 crotchets a minute, strict tempo).",
        "The Lantern on Harrow Brae, Part 1, bar 1: follow beat 2 35 ms later (was strict).",
    )


def test_a_tune_that_came_and_a_tune_that_went_are_told() -> None:
    other = contents_of(sheet(planned_entry(jig(), CONTEST)))
    assert changes_between(MARCH, other) == (
        "Oats in the Piper's Boot is new.",
        "The Lantern on Harrow Brae is no longer played.",
    )


def test_a_long_part_keeps_its_name_on_the_second_strip() -> None:
    view = sheet(planned_entry(march(), CONTEST))
    tune = view.tunes[0]
    strip = tune.strips[0]
    long = replace(tune, strips=(strip, replace(strip, label="", bars=strip.bars[:1])))
    assert "Part 1, bar 1" in contents_of(replace(view, tunes=(long,)))[tune.title]


def test_a_change_is_data_too() -> None:
    strict = contents_of(sheet(planned_entry(march())))
    bar = found.changes_between(strict, MARCH)[1]
    assert (bar.tune, bar.what) == ("The Lantern on Harrow Brae", "Part 1, bar 1")
    assert (bar.was, bar.is_now) == ("strict", "follow beat 2 35 ms later")
