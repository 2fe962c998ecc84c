from dataclasses import replace
from datetime import datetime
from fractions import Fraction

from api.display.paper.drum_sheet import drum_sheet_view, drum_tune_view, verdict_words
from api.display.planned import AgreementMade
from planner.marks.drum_map import map_drums
from planner.marks.marks import Agreement, Clash, Verdict
from planner.music.drums import DrumBar, DrumScore, DrumVoice
from tests.api.display.events import (
    CONTEST,
    jig,
    march,
    planned_entry,
    planned_event,
    planned_set,
)

HALF = Fraction(1, 2)


def contest_march():
    return planned_entry(march(), CONTEST)


def with_marks(entry, *marks):
    plan = entry.plan
    drums = map_drums(plan.tune, marks, plan.licence)
    return replace(entry, plan=replace(plan, marks=marks, drums=drums))


def in_conflict():
    entry = contest_march()
    late = replace(
        entry.plan.marks[0],
        drums=Verdict.CONFLICT,
        agreement=Agreement.REFUSED,
        clash=Clash(1.25, 64.0, 1.3, "flam"),
    )
    return with_marks(entry, late)


def sheet(*entries, **changes):
    return drum_sheet_view(planned_event(planned_set(*entries), setting=CONTEST, **changes))


def test_a_strict_tune_is_a_strip_of_strict_bars() -> None:
    (tune,) = sheet(planned_entry(march())).tunes
    (strip,) = tune.strips
    assert strip.label == "Part 1"
    assert [bar.number for bar in strip.bars] == ["1", "2", "3", "4"]
    assert {bar.verdict for bar in strip.bars} == {"strict"}
    assert tune.tempo_word == "strict tempo"


def test_a_bar_to_follow_tells_beat_direction_and_milliseconds() -> None:
    (tune,) = sheet(contest_march()).tunes
    first = tune.strips[0].bars[0]
    assert first.verdict == "follow"
    assert first.moves == ("beat 2", "35 ms later")
    assert tune.strips[0].bars[1].verdict == "strict"


def test_a_bar_says_where_the_score_rests_or_is_in_unison() -> None:
    together = DrumBar(strokes=(Fraction(0), HALF, Fraction(1)), unison=(Fraction(0), Fraction(1)))
    rests, alone = DrumBar(), DrumBar(strokes=(Fraction(0),))
    line = {(1, 1, 0): together, (1, 2, 0): rests, (1, 3, 0): alone}
    entry = replace(contest_march(), drum_score=DrumScore({DrumVoice.SNARE: line}))
    (strip,) = sheet(entry).tunes[0].strips
    assert [bar.score for bar in strip.bars] == ["unison, beats 1 and 2", "rest", "", ""]


def test_a_bar_of_rest_of_one_voice_is_no_rest_while_another_plays() -> None:
    bass = {(1, 2, 0): DrumBar(strokes=(Fraction(0),))}
    lines = {DrumVoice.SNARE: {(1, 2, 0): DrumBar()}, DrumVoice.BASS: bass}
    entry = replace(contest_march(), drum_score=DrumScore(lines))
    assert sheet(entry).tunes[0].strips[0].bars[1].score == ""


def test_the_facts_say_pointed_or_round_and_the_tonal_centre() -> None:
    (pointed, rounded) = sheet(contest_march(), planned_entry(jig(), CONTEST)).tunes
    assert "march, pointed · 2/4 · tonal centre A" in pointed.facts
    assert "jig, round · 6/8" in rounded.facts


def test_the_whole_sheet_says_in_one_line_how_strict_it_is() -> None:
    assert verdict_words([planned_entry(march()).plan]) == "Strict tempo throughout."
    assert verdict_words([contest_march().plan]) == (
        "Strict tempo but for one mark to follow, one still to be agreed."
    )
    assert verdict_words([in_conflict().plan]) == "Not ready: one conflict to settle first."


def test_a_conflict_tells_the_chance_of_a_flam_with_and_without_the_mark() -> None:
    tune = drum_tune_view(in_conflict(), planned_set(in_conflict()).set)
    assert "A flam 64 times in a hundred, 1 without the mark." in tune.asks[0]


def test_drums_that_follow_are_told_the_chance_that_is_left() -> None:
    tune = drum_tune_view(contest_march(), planned_set(contest_march()).set)
    # Pipes and drums with 10 ms of scatter each: P at no shift, 14.1 ms together, from the normal
    # distribution on 23 and 28 ms: 2.4 % late and 5.2 % early.
    assert "Moved together, a flam 8 times in a hundred, as at any stroke." in tune.asks[0]


def test_an_agreement_names_who_and_when() -> None:
    entry = contest_march()
    address = entry.plan.marks[0].place.address
    made = AgreementMade(entry.entry.tune_key, address, True, "Sam Orrin", datetime(2031, 6, 1))
    agreed = with_marks(entry, replace(entry.plan.marks[0], agreement=Agreement.AGREED))
    (tune,) = sheet(agreed, agreements=(made,)).tunes
    assert tune.asks[0].startswith("Part 1, bar 1, beat 2: follow, agreed: 35 ms later.")
    assert tune.asks[0].endswith("Agreed: Sam Orrin, 1 June 2031.")


def test_what_is_still_open_names_nobody() -> None:
    (tune,) = sheet(contest_march()).tunes
    assert "to be agreed" in tune.asks[0]
    assert "Agreed:" not in tune.asks[0]


def test_what_holds_for_every_tune_is_said_once() -> None:
    view = sheet(contest_march(), planned_entry(jig(), CONTEST))
    assert view.notes == ("No drum score: strict means strict on the beats.",)
    assert all(tune.notes == () for tune in view.tunes)


def test_what_changed_since_the_last_print_is_handed_on() -> None:
    changes = ("Oats in the Piper's Boot is new.",)
    assert sheet(contest_march(), changes=changes).changes == changes


def test_the_legend_has_every_verdict() -> None:
    legend = dict(sheet(contest_march()).legend)
    assert set(legend) == {str(verdict) for verdict in Verdict}
