import pytest

from planner.analysis.analyse import analyse
from planner.marks.played import play
from planner.rules.load import load_rulebook
from tests.builders import tune

BOOK = load_rulebook()


def analysed(music, idiom="march", tempo=60, length="1/16"):
    built = tune(music, tempo=tempo, length=length)
    return analyse(built, idiom, built.tempo, BOOK)


def lengths(music, idiom="march", tempo=60, **more):
    return list(analysed(music, idiom, tempo, **more).written.length_ms)


def test_a_march_plays_its_dots_as_written():
    assert lengths("2/4 | A3B c4 |]") == [750.0, 250.0, 1000.0]


def test_a_strathspey_draws_them_apart_to_four_to_one():
    assert lengths("2/4 | A3B B c3 |]", "strathspey") == pytest.approx([800, 200, 200, 800])


def test_a_short_note_keeps_what_its_gracenotes_need():
    # At 112 the semiquaver has 134 ms and a gracenote of its own: 60 + 35 + nothing after it.
    pointed = lengths("C | A3{g}B c4 d4 e4 |]", "strathspey", 112)
    assert pointed[1] == pytest.approx(107.14, abs=0.01)
    kept = lengths("C | A3{gd}B c4 d4 e4 |]", "strathspey", 112)
    assert kept[1] == pytest.approx(60 + 2 * 35)
    assert sum(kept[:2]) == pytest.approx(sum(pointed[:2]))


def test_a_short_note_is_never_made_longer_than_written():
    crowded = lengths("C | A3{gBd}B {GdGe}A4 d4 e4 |]", "strathspey", 112)
    assert crowded[1] == pytest.approx(133.93, abs=0.01)


def test_pairs_are_pointed_alike_on_both_beats_of_six_eight():
    own = BOOK["idioms.jig.pointing"]
    wide = BOOK.with_own({own.key: type(own)(own.key, 5.0, own.unit, own.source, own.status)})
    built = tune("6/8 | A3BB2 A3BB2 |]", tempo=60, length="1/16")
    beats = analyse(built, "jig", built.tempo, wide).written.length_ms
    assert beats[:3] == pytest.approx(beats[3:])
    assert beats[1] < 1000 / 6


def test_triplets_and_notes_across_the_beat_are_left_as_written():
    assert lengths("2/4 | (3A2B2c2 d4 |]", "strathspey") == pytest.approx(
        [1000 / 3, 1000 / 3, 1000 / 3, 1000]
    )
    assert lengths("2/4 | A2B3c3 |]", "strathspey") == [500, 750, 750]


def test_in_a_corner_that_is_too_tight_the_taorluath_moves_over():
    # The short low A would sound 29 ms; with one gracenote less before the beat it sounds 64.
    made = analysed("C | A4 B4 {gcd}c3A {GdGe}A4 |]", "strathspey", 112)
    assert made.written.beat_index[-1] == 2
    assert made.written.tight == {3}
    assert play(made)[3].sounding_length_ms == pytest.approx(133.93 - 70, abs=0.01)


def test_where_that_is_not_enough_its_own_gracenotes_are_shortened():
    made = analysed("2/4 | {gcd}c B6 c |]", tempo=120)
    assert made.written.gracenote_ms[0] == 25.0
    assert made.written.tight == {0}


def test_with_room_nothing_is_eased():
    made = analysed("2/4 | {g}A4 {GdGe}A3B |]", tempo=76)
    assert made.written.tight == frozenset()
    assert set(made.written.gracenote_ms) == {35.0}


def test_a_pick_up_counts_back_from_its_bar_line():
    made = analysed("2/4 | e2 | A8 |]")
    assert made.written.onset_ms == (-500.0, 0.0)
    assert (made.written.bar_start_ms[0], made.written.bar_end_ms[0]) == (-500.0, 0.0)


def test_a_gracenote_lasts_as_long_at_any_tempo():
    for tempo in (40, 80):
        made = analysed("2/4 | {gcd}c4 e4 |]", tempo=tempo)
        first = play(made)[0]
        assert first.sounding_ms - first.movement_start_ms == pytest.approx(105)


def test_what_no_tempo_leaves_room_for_still_sounds_in_order():
    # The C has 125 ms and seven gracenotes on its beat: eight sounds of an eighth of it each.
    made = analysed("2/4 | {gAGAGAG}c B6 c |]", tempo=120)
    assert made.written.gracenote_ms[0] == pytest.approx(125 / 8)
    assert play(made)[0].sounding_length_ms == pytest.approx(125 / 8)
    assert made.written.tight == {0}
