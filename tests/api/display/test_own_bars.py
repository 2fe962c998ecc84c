"""What a set plays that is not printed is said on every sheet, and drawn where music is drawn."""

from __future__ import annotations

from api.display.own_bars import own_bar_facts, own_bar_lines
from api.display.paper.drum_sheet import drum_tune_view
from api.display.paper.joins import joins_view
from api.display.paper.learner_card import beat_rows
from api.display.paper.phrased_music import PictureView, TunePictures, phrased_music_view
from api.display.paper.pictures import link_picture
from api.display.paper.set_card import set_card_view
from api.display.planned import PlannedEntry
from api.display.words import parts_played, start_words, stop_words
from planner.engraving.engrave import engrave
from planner.engraving.layout import A4
from planner.event.event import Attack, CutOff, Entry
from tests.api.display.events import jig, march, planned_entry, planned_event, planned_set

PICTURE = PictureView("data:,link", 40, 12)


def changed() -> PlannedEntry:
    return planned_entry(march(), last_bar="{g}f2 e2", link="{g}f2 {g}e2 | {gef}e4")


def test_a_tune_as_printed_has_nothing_to_say() -> None:
    each = planned_entry(march())
    assert (own_bar_lines(each), own_bar_facts(each)) == ((), ())


def test_the_altered_bar_and_the_link_are_named_with_their_place_and_length() -> None:
    last, link = own_bar_lines(changed())
    assert last[0] == "Last bar"
    assert last[1].endswith("is altered in this set.")
    assert link == ("Link", "Two bars before the next tune.")
    assert own_bar_facts(changed()) == ("last bar altered", "then a link of two bars")


def test_card_running_order_and_drum_sheet_say_it_in_their_facts() -> None:
    each = changed()
    played = planned_set(each, planned_entry(jig()))
    event = planned_event(played)
    words = "last bar altered · then a link of two bars"
    assert words in set_card_view(event, played, {}).tunes[0].facts
    assert words in drum_tune_view(each, played.set).facts


def test_the_drums_have_the_bars_of_the_link_as_a_strip_of_its_own() -> None:
    each = changed()
    view = drum_tune_view(each, planned_set(each).set)
    assert [bar.number for bar in view.strips[-1].bars] == ["1", "2"]
    assert view.strips[-1].label == "Link"


def test_the_phrased_music_draws_the_link_and_names_its_marks_by_it() -> None:
    each = changed()
    event = planned_event(planned_set(each, planned_entry(jig())))
    pictures = {entry.entry: TunePictures() for entry in event.sets[0].entries}
    pictures[each.entry] = TunePictures(link=(PICTURE,))
    first, second = phrased_music_view(event, pictures).tunes
    assert first.link == (PICTURE,)
    assert dict(first.own_bars).keys() == {"Last bar", "Link"}
    assert second.own_bars == second.link == ()
    assert each.link is not None
    told = [mark.address for mark in first.marks if mark.address.startswith("Link, bar")]
    assert bool(told) == bool(each.link.marks)


def test_the_staff_has_the_altered_bar_under_its_word() -> None:
    words = [
        ">altered<" in engrave(each.tune, A4).svg for each in (changed(), planned_entry(march()))
    ]
    assert words == [True, False]


def test_the_joins_show_the_link_between_both_tunes() -> None:
    event = planned_event(planned_set(changed(), planned_entry(jig())))
    view = joins_view(event, lambda *_: None, lambda *_: None, link_picture)
    (join,) = view.sets[0].joins
    assert join.link is not None
    assert join.words.endswith("last bar altered, then a link of two bars")


def test_a_learner_has_the_beats_of_the_link_too() -> None:
    labels = [row.label for row in beat_rows(changed()) if row.label]
    assert labels[-1] == "Link"
    assert not [row for row in beat_rows(planned_entry(march())) if row.label == "Link"]


def test_which_parts_are_played_and_how_often_is_said_in_order() -> None:
    assert parts_played(Entry("x"), 4) == "4 parts"
    assert parts_played(Entry("x", parts=(3,)), 4) == "part 3"
    assert parts_played(Entry("x", parts=(1, 3)), 4) == "parts 1 and 3"
    entry = Entry("x", parts=(2, 1, 2), part_times=(1, 0, 2))
    assert parts_played(entry, 4) == "part 2 once, part 1, part 2 twice"


def test_attack_and_cut_off_stand_before_the_band_s_own_words() -> None:
    entry = Entry("x", attack=Attack.STRIKE_IN, start_line="watch the foot")
    assert start_words(entry) == "No rolls: drones struck in, then all together. Watch the foot."
    assert stop_words(Entry("x", cut_off=CutOff.END_OF_TUNE)) == "At the end of the tune only."
    assert start_words(Entry("x", start_line="as it stands")) == "as it stands"
    assert stop_words(Entry("x")) == ""
