from dataclasses import replace

import pytest

from api.display.paper.phrased_music import (
    PictureView,
    TunePictures,
    phrased_music_view,
    phrased_tune_sheet,
    phrased_tune_view,
)
from planner.event.event import Control, Occasion, Setting, Sort
from planner.marks.marks import Move
from planner.music.tempo import Metre
from planner.music.tune import Credits, outline
from planner.plan import plan_tune
from planner.rules.load import load_rulebook
from tests.api.display.events import (
    CONTEST,
    MADE_AT,
    jig,
    march,
    planned_entry,
    planned_event,
    planned_set,
)

LINE = PictureView("data:image/svg+xml;base64,", 180, 12, "line 1 of 1")
SIGNS = tuple((move, replace(LINE, label=str(move))) for move in Move)
PICTURES = TunePictures(systems=(LINE,), signs=SIGNS)


def view_of(music, setting=None, pictures=PICTURES):
    entry = planned_entry(music, setting) if setting else planned_entry(music)
    return phrased_tune_view(entry.plan, pictures, entry.entry, "Street set")


def test_the_layers_are_said_in_words() -> None:
    assert view_of(march()).layers == (
        ("Within the beat", "slight"),
        ("Across the bar", "none"),
        ("Across the phrase", "none"),
        ("Between tunes", "slight"),
    )


def test_every_layer_has_its_reason_and_no_reason_comes_twice() -> None:
    view = view_of(march())
    said = " ".join(view.reasons)
    assert all(words in said for words in ("within the beat", "across the bar", "phrase", "part"))
    assert len(set(view.reasons)) == len(view.reasons)
    grounds = [reason.partition(":")[0] for reason in view.reasons]
    assert len(set(grounds)) == len(grounds), "what has one ground is said in one sentence"


def test_the_legend_has_the_marks_that_are_used_and_no_other() -> None:
    assert [entry.word for entry in view_of(march()).legend] == ["tighten"]
    assert {entry.word for entry in view_of(march(), CONTEST).legend} == {
        str(mark.move) for mark in planned_entry(march(), CONTEST).plan.marks
    }


def test_a_mark_is_said_with_address_drums_and_reason() -> None:
    late = view_of(march(), CONTEST).marks[0]
    assert late.address == "Part 1, bar 1, beat 1"
    assert late.what.startswith("Let the taorluath on low A come late")
    assert late.drums == "follow, to be agreed: 35 ms later"
    assert late.why.startswith("It ")


def test_a_plan_without_marks_says_why() -> None:
    view = view_of(jig())
    assert view.marks == ()
    assert view.paying == ""
    assert view.no_marks.startswith("No marks: ")


def test_players_below_the_rung_get_their_work_as_the_reason() -> None:
    learning = Setting(Occasion.PARADE, Sort.OWN_BAND, control=Control(2))
    view = view_of(march(), learning)
    assert "rung 2" in view.no_marks
    assert not any("rung" in warning for warning in view.warnings)


def test_what_was_left_off_is_listed_with_its_reason() -> None:
    reasons = dict((why, where) for where, why in view_of(march()).left_out)
    assert reasons
    assert all("part 1" in where for where in reasons.values())


def test_a_tune_without_notes_prints_its_scan_or_its_outline_and_says_so() -> None:
    plan = plan_tune(
        outline("The Mill Gate", Metre(6, 8), ((8, 2), (8, 1))),
        CONTEST,
        load_rulebook(),
        idiom="march",
    )
    bare = phrased_tune_view(plan, TunePictures())
    assert bare.no_notes == "No notes on file: the outline only."
    assert bare.outline == ("Part 1: eight bars, played twice", "Part 2: eight bars, played once")
    scanned = phrased_tune_view(plan, TunePictures(scans=(LINE,)))
    assert scanned.no_notes == "No notes on file: the scan is printed."
    broken = phrased_tune_view(plan, TunePictures(kept_as="gate.pdf"))
    assert "gate.pdf cannot be printed" in broken.no_notes


def test_what_the_engraver_could_not_draw_is_told_on_the_sheet() -> None:
    view = view_of(march(), pictures=TunePictures(problem="A line is too short."))
    assert view.no_notes == "A line is too short."
    assert view.outline == ("Part 1: four bars, played twice",)


def test_credits_say_who_did_what() -> None:
    music = replace(march(), credits=Credits(composer="A. Tarn", arranger="B. Moss"))
    assert view_of(music).credits == ("A. Tarn", "arranged by B. Moss")


@pytest.mark.parametrize("setting", [CONTEST, None])
def test_the_occasion_stands_with_every_tune(setting) -> None:
    words = "Competition, march, strathspey and reel" if setting else "Parade"
    assert view_of(march(), setting).occasion == words


def test_an_event_has_its_tunes_in_playing_order() -> None:
    event = planned_event(planned_set(planned_entry(march()), planned_entry(jig())))
    entries = [each.entry for each in event.sets[0].entries]
    view = phrased_music_view(event, dict.fromkeys(entries, PICTURES))
    assert [tune.title for tune in view.tunes] == [
        "The Lantern on Harrow Brae",
        "Oats in the Piper's Boot",
    ]


def test_a_single_tune_is_dated_though_it_has_no_event() -> None:
    view = phrased_tune_sheet(planned_entry(march()).plan, PICTURES, MADE_AT)
    assert view.version == "made 12 Jun 2031 18:04"
    assert view.heading == "The Lantern on Harrow Brae"


def test_a_setting_without_a_permission_note_says_so() -> None:
    event = planned_event(planned_set(planned_entry(march()), planned_entry(jig())))
    entries = [each.entry for each in event.sets[0].entries]
    asked, noted = phrased_music_view(
        event, dict.fromkeys(entries, PICTURES), frozenset([entries[0].tune_key])
    ).tunes
    assert any("No permission" in warning for warning in asked.warnings)
    assert not any("No permission" in warning for warning in noted.warnings)
