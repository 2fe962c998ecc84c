import time
from statistics import median

import pytest

from planner.errors import RequestError
from planner.event.event import SORTS_BY_OCCASION, Control, Drums, Occasion, Setting
from planner.music.tempo import Metre
from planner.music.tune import outline
from planner.plan import chosen_idiom, chosen_tempo, plan_tune
from planner.rules.load import load_rulebook
from tests.builders import tune
from tests.seed_data.played import FILES, read

BOOK = load_rulebook()
MUSIC = "2/4 |: e2 | {g}A4 {GdGe}A3B | {gcd}c3e {ag}a3e | {Gdc}d3B {g}c3A | {gBd}B3A {GdG}B2 :|"
FOUR_PART_MARCH = next(file for file in FILES if file.stem == "keepers_of_whinfathom_light")


def setting(occasion="parade", rung=4, drums="full"):
    where = Occasion(occasion)
    return Setting(where, SORTS_BY_OCCASION[where][0], Drums(drums), Control(rung))


def plan(occasion="parade", music=MUSIC, rung=4, drums="full", **extra):
    built = tune(music, length="1/16", **extra)
    return plan_tune(built, setting(occasion, rung, drums), BOOK)


def codes(made):
    return [finding.code for finding in made.warnings]


def test_a_tune_that_names_no_idiom_is_planned_as_a_march_and_says_so():
    made = plan()
    assert made.analysis.idiom == "march"
    assert "idiom_assumed" in codes(made)
    assert "idiom_assumed" not in codes(plan(idiom="march"))


def test_the_same_notes_in_another_idiom_get_that_idioms_pointing_and_licence():
    built = tune("C | A3B c3d e4 A4 |]", length="1/16", idiom="march", tempo=112)
    as_march = plan_tune(built, setting("competition"), BOOK)
    as_strathspey = plan_tune(built, setting("competition"), BOOK, idiom="strathspey")
    assert as_march.played[1].onset_ms < as_strathspey.played[1].onset_ms
    assert as_march.pointedness < as_strathspey.pointedness
    assert as_march.licence.size_factor < as_strathspey.licence.size_factor


@pytest.mark.parametrize("word", ["slow air", "slow-air", "slow_air"])
def test_an_idiom_may_be_written_in_three_ways(word):
    assert chosen_idiom(tune(MUSIC), BOOK, word) == "slow air"


def test_an_idiom_the_book_has_not_is_refused_with_those_it_has():
    with pytest.raises(RequestError, match=r"idiom: 'polka' is not in the rule book; use .* or "):
        chosen_idiom(tune(MUSIC), BOOK, "polka")


def test_the_tempo_asked_for_goes_before_the_tunes_own_and_that_before_the_usual():
    built = tune(MUSIC, tempo=80)
    assert chosen_tempo(built, "march", BOOK, 70).bpm == 70
    assert chosen_tempo(built, "march", BOOK).bpm == 80
    assert chosen_tempo(tune(MUSIC), "march", BOOK).bpm == BOOK.number("idioms.march.tempo.2/4")
    assert chosen_tempo(tune(MUSIC), "jig", BOOK).bpm == BOOK.number("idioms.jig.tempo.any")


@pytest.mark.parametrize("bpm", [0, -80, 19.9, 301, float("nan"), float("inf")])
def test_a_tempo_nobody_can_play_is_refused(bpm):
    with pytest.raises(RequestError, match="give 20 to 300 felt beats a minute"):
        chosen_tempo(tune(MUSIC), "march", BOOK, bpm)


def test_without_a_drum_score_strict_means_on_the_beats():
    assert "no_drum_score" in codes(plan())
    assert "no_drum_score" not in codes(plan(drums="none"))


def test_no_mark_is_a_good_plan_and_says_so():
    made = plan(music="2/4 |: {g}A4 {g}e4 | {g}f4 {g}e4 | {g}c4 {g}e4 | {g}A8 :|")
    assert made.marks == ()
    assert "no_mark" in codes(made)


def test_a_note_that_was_wanted_and_left_out_has_its_reason():
    made = plan("competition", tempo=76)
    assert made.left_out
    assert all(left.why for left in made.left_out)
    marked = {mark.place for mark in made.marks}
    assert not marked & {left.place for left in made.left_out}


def test_a_tune_by_its_outline_only_has_a_plan_without_notes():
    made = plan_tune(outline("Outline", Metre(2, 4), ((8, 2),)), setting(), BOOK, tempo_bpm=80)
    assert (made.marks, made.played, made.seconds) == ((), (), 24.0)
    assert "no_notes" in codes(made)


def test_the_drums_are_strict_on_parade_and_agreed_at_a_competition():
    tempos = [plan(o, tempo=76).drums.tempo for o in ("parade", "dance", "competition")]
    assert tempos == ["strict", "strict", "agreed"]
    assert plan("competition", drums="none").drums.tempo == "none"


def test_every_mark_says_why_in_the_words_of_the_music():
    (mark,) = plan(tempo=76).marks
    assert mark.why == "play the taorluath on low A tight, low A gains: it opens the part"


def test_time_once_through_is_the_sum_of_its_bars():
    made = plan(tempo=60)
    # Four bars of two beats twice, pick-ups and short last bars making up for each other.
    assert made.seconds == 16.0


@pytest.mark.slow
def test_a_four_part_march_is_planned_within_25_ms():
    march, where = read(FOUR_PART_MARCH), setting("competition")
    took = []
    for _ in range(15):
        start = time.process_time()
        plan_tune(march, where, BOOK)
        took.append(time.process_time() - start)
    assert median(took) <= 0.025
