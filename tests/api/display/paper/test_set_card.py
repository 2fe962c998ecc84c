from dataclasses import replace

import pytest

from api.display.paper.pictures import sign_picture
from api.display.paper.set_card import (
    FrontSetView,
    flagged_marks,
    front_card_view,
    parts_end_alike,
    set_card_view,
    set_card_views,
    without_names,
)
from planner.event.event import Occasion
from planner.marks.marks import Move
from planner.music.tune import Part
from tests.api.display.events import (
    CONTEST,
    ISLA,
    JO,
    SAM,
    jig,
    march,
    planned_entry,
    planned_event,
    planned_set,
)


def card(*entries, setting=None, reader=None):
    played = planned_set(*(entries or (planned_entry(march()),)))
    event = planned_event(played, setting=setting) if setting else planned_event(played)
    return set_card_view(event, played, {}, reader)


def test_the_card_names_occasion_set_and_stop_signal() -> None:
    view = card()
    assert (view.occasion, view.set_number, view.set_name) == ("Parade", "Set 1", "Street set")
    assert view.stop_signal == "the mace held level"
    assert view.version == "version 3, made 12 Jun 2031 18:04"


def test_a_parade_is_strict_and_a_contest_march_with_a_late_movement_is_agreed() -> None:
    assert card().strictness == "strict"
    assert card(planned_entry(march(), CONTEST), setting=CONTEST).strictness == "agreed"


def test_what_is_not_agreed_yet_stands_on_the_card() -> None:
    view = card(planned_entry(march(), CONTEST), setting=CONTEST)
    assert "one still to be agreed" in view.strictness_note


def test_each_tempo_is_said_when_it_changes() -> None:
    view = card(planned_entry(march()), planned_entry(march("Again")), planned_entry(jig()))
    assert view.tempos == ("76", "116")
    assert view.tempo_unit == "beats a minute"


def test_a_set_of_many_tempos_is_said_by_the_first() -> None:
    entries = [planned_entry(march(f"Tune {bpm}", bpm)) for bpm in (72, 76, 80, 84)]
    view = card(*entries)
    assert view.tempos == ("72",)
    assert view.tempo_unit == "crotchets a minute to start"


def test_the_facts_of_a_tune_are_idiom_metre_tempo_parts_and_times_through() -> None:
    view = card(planned_entry(march(), times_through=2))
    assert view.tunes[0].facts == "March · 2/4 · 76 · 1 part · twice through"


def test_start_stop_and_join_are_the_bands_own_words() -> None:
    told = {"start_line": "two rolls", "stop_line": "end of part 4", "join": "straight on"}
    tune = card(planned_entry(march(), **told)).tunes[0]
    assert (tune.start, tune.stop, tune.join) == ("two rolls", "end of part 4", "straight on")


def test_a_join_tells_what_changes_even_when_the_band_has_said_nothing() -> None:
    tune = card(planned_entry(march()), planned_entry(jig())).tunes[0]
    assert tune.join == "to Oats in the Piper's Boot (new tempo 116, new metre 6/8)"


def test_a_tune_that_lasts_until_the_cue_says_where_it_may_stop() -> None:
    tune = card(planned_entry(march(), times_through=0)).tunes[0]
    assert tune.facts.endswith("until the cue")
    assert tune.stop == "on the cue, at the end of a part"


def test_outs_and_pipe_harmony_are_named() -> None:
    tune = card().tunes[0]
    assert (tune.out, tune.harmony) == ("Jo Pell", "Isla Rennick")


@pytest.mark.parametrize(
    ("reader", "mine"),
    [(JO, "You are out"), (ISLA, "You play harmony"), (SAM, "You play")],
)
def test_a_players_own_card_says_what_that_player_does(reader, mine: str) -> None:
    view = card(reader=reader)
    assert view.reader == reader.name
    assert view.tunes[0].mine == mine


def test_a_flag_has_part_bar_and_beat_and_the_move_in_few_words() -> None:
    (flag,) = card().tunes[0].flags
    assert flag.words == "part 1, bar 1, beat 1: tight taorluath on\u00a0low A"
    assert flag.sign == sign_picture(Move.TIGHTEN)


def test_no_more_than_three_flags_stand_on_a_card() -> None:
    entry = planned_entry(march(), CONTEST)
    mark = entry.plan.marks[0]
    many = tuple(
        replace(mark, place=replace(mark.place, address=replace(mark.place.address, part=part)))
        for part in range(1, 6)
    )
    view = card(replace(entry, plan=replace(entry.plan, marks=many)), setting=CONTEST)
    assert len(view.tunes[0].flags) == 3
    assert view.tunes[0].flags_elsewhere == "two more on the phrased music"
    assert flagged_marks(many) == many[:3], "no sign may stand on the card without its words"


def test_parts_that_end_alike_are_a_warning_on_parade_only() -> None:
    music = march()
    twice = replace(music, parts=(music.parts[0], Part(2, music.parts[0].bars, 2)))
    assert parts_end_alike(twice)
    assert not parts_end_alike(music)
    assert "end alike" in card(planned_entry(twice)).tunes[0].warning
    assert card(planned_entry(twice, CONTEST), setting=CONTEST).tunes[0].warning == ""


def test_several_sets_have_a_front_card_and_one_set_has_none() -> None:
    one = planned_set(planned_entry(march()))
    two = planned_set(planned_entry(jig()), number=2, name="Jigs")
    assert front_card_view(planned_event(one)) is None
    front = front_card_view(planned_event(one, two))
    assert front is not None
    assert front.sets == (
        FrontSetView("1", "Street set", "76", "strict", (march().title,)),
        FrontSetView("2", "Jigs", "116", "strict", (jig().title,)),
    )
    assert front.times == (("Meet", "09:15"), ("Tune up", "09:45"), ("Step-off", "10:30"))


def test_every_set_has_its_card_in_order() -> None:
    sets = [planned_set(planned_entry(march()), number=n) for n in (2, 1)]
    views = set_card_views(planned_event(*sets), {})
    assert [view.set_number for view in views] == ["Set 2", "Set 1"]


def test_a_set_is_played_under_the_occasion_of_its_event_and_says_for_which_it_was_made() -> None:
    played = planned_set(planned_entry(march()))
    tagged = replace(played, set=replace(played.set, occasion=Occasion.DANCE))
    view = set_card_view(planned_event(tagged), tagged, {})
    assert view.occasion == "Parade"
    assert view.set_facts.startswith("Put together for dance accompaniment, played here as parade")
    same = replace(played, set=replace(played.set, occasion=Occasion.PARADE))
    assert "Put together" not in set_card_view(planned_event(same), same, {}).set_facts


def test_the_card_on_the_noticeboard_names_nobody_who_lifted_a_ceiling_either() -> None:
    tune = replace(card().tunes[0], lifted="Lifted above the ceiling by Isla Rennick.")
    hung = without_names(replace(card(reader=JO), tunes=(tune,)))
    assert not [name for name in ("Isla", "Jo", "Sam") if name in str(hung)]
