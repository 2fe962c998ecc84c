from dataclasses import replace
from datetime import time
from fractions import Fraction

from api.display.paper.call_sheet import call_sheet_view
from planner.event.event import Instrument, Item, Loudness
from planner.event.route import Wanted
from planner.event.sound import sound_dose
from planner.event.street.parade import RoutePlan
from planner.event.street.places import PassedPlace
from planner.event.street.street import StreetItem, StreetStretch, StreetSums
from planner.event.timetable import EventTimetable, Slot
from planner.findings import Finding
from planner.rules.load import load_rulebook
from tests.api.display.events import CONTEST, march, planned_entry, planned_event, planned_set


def slot(name: str, start: time, seconds: int, set_key: str = "") -> Slot:
    return Slot(Item(set_key, name), name, Fraction(seconds), start, None)


TIMETABLE = EventTimetable(
    (slot("", time(10, 30), 200, "set 1"), slot("drums only", time(10, 34), 90)),
    Fraction(330),
    time(10, 30),
    time(10, 36),
)


ITEMS = (
    StreetItem("Street set", 0, 220, 200, False, is_set=True),
    StreetItem("drums only", 260, 99, 90, False, from_s=240),
)
COVER = RoutePlan(22.13, 66.0, 1.7, 2, 0.42, 0.58, 0.7)


def sheet(**changes):
    return call_sheet_view(planned_event(**changes))


def test_meet_tune_up_and_step_off_are_three_times() -> None:
    assert sheet().times == (("Meet", "09:15"), ("Tune up", "09:45"), ("Step-off", "10:30"))


def test_what_nobody_has_said_is_left_out() -> None:
    assert [heading for heading, _ in sheet().details] == ["Place", "Dress", "Stop signal"]


def test_the_running_order_has_sets_with_their_tunes_and_items_in_words() -> None:
    first, second = sheet(timetable=TIMETABLE).order
    assert (first.time, first.what, first.length) == ("10:30", "Set 1: Street set", "3 min 20 s")
    assert first.detail == "The Lantern on Harrow Brae"
    assert (second.what, second.length) == ("drums only", "1 min 30 s")


def test_players_are_counted_against_what_is_asked_for() -> None:
    pipes, snare, tenor = sheet(
        minimum={Instrument.PIPES: 2, Instrument.TENOR: 1}, maybe={Instrument.SNARE: 1}
    ).numbers
    assert (pipes.coming, pipes.needed, pipes.word) == ("2", "2", "enough")
    assert (snare.coming, snare.needed) == ("1, perhaps 1 more", "")
    assert (tenor.coming, tenor.word) == ("0", "one player short")


def test_the_street_is_reckoned_in_minutes_and_rest() -> None:
    sums = " ".join(sheet(timetable=TIMETABLE, street=StreetSums(COVER, ITEMS)).sums)
    assert "Running order 5 min 30 s with its gaps." in sums
    assert "The route takes 22 min 8 s at 66 metres a minute." in sums
    assert "58% of the walk is rest" in sums


def test_halts_are_said_in_the_time_of_the_route() -> None:
    street = StreetSums(replace(COVER, halted_minutes=2), ITEMS)
    sums = sheet(timetable=TIMETABLE, street=street).sums
    assert "The route takes 24 min 8 s (2 min of it in halts) at 66 metres a minute." in sums


def test_places_and_halts_stand_where_they_come_in_the_order_of_the_day() -> None:
    kirk = PassedPlace(
        "the kirk", Wanted.SILENT, 230, 250, 210, 230, time(10, 33, 30), time(10, 33, 50)
    )
    cross = StreetStretch(
        "the brae", "up", 0, 300, 0.76, 280, 300, time(10, 35), halt_s=20, halt_is_silent=True
    )
    street = StreetSums(COVER, ITEMS, None, (cross,), (kirk,))
    lines = sheet(timetable=TIMETABLE, street=street).order
    assert [(line.time, line.what, line.detail) for line in lines[1:]] == [
        ("10:33", "The kirk: be silent", "230 to 250 m"),
        ("10:34", "drums only", ""),
        ("10:35", "Halt of 20 s after the brae: be silent", "300 m"),
    ]


def test_the_cautions_are_those_of_the_rule_book_that_concern_the_occasion() -> None:
    words = {name: str(rule.value) for name, rule in load_rulebook().section("cautions").items()}
    played = planned_set(planned_entry(march(), CONTEST))
    view = call_sheet_view(planned_event(played, setting=CONTEST, cautions=words))
    assert any("ear protection" in caution for caution in view.cautions)
    assert not any(caution.startswith("Dancers") for caution in view.cautions)


def test_what_is_still_to_settle_is_told_once() -> None:
    finding = Finding("twice", "the same tune comes twice", "set 1")
    assert sheet(findings=(finding, finding)).findings == ("Set 1: the same tune comes twice.",)


def test_no_name_of_a_player_stands_on_the_call_sheet() -> None:
    assert "Jo Pell" not in str(sheet(timetable=TIMETABLE))


def test_a_measured_level_says_when_the_daily_value_is_reached_and_to_follow_local_rules() -> None:
    # CDC/NIOSH: 94 dB(A) averaged reaches the daily value after 60 minutes
    dose = sound_dose(94, load_rulebook(), minutes=30)
    planned = planned_event(dose=dose)
    loud = replace(planned, event=replace(planned.event, loudness=Loudness(94, "in the ranks")))
    (said,) = call_sheet_view(loud).cautions
    assert said.startswith(
        "Sound: at 94 dB(A) the sound reaches the daily value after 60 min, measured in the ranks; "
        "the running order once is 50 % of it."
    )
    assert "medical advice" in said
    assert call_sheet_view(planned).cautions == ()
