"""Our reading beside those of music21 and Verovio, two readers that know nothing of ours.

``scripts/compare-readers`` does the same for as many tunes as asked; the table of its last run
stands in DEVELOPERS.md. Where the readers differ, the ABC standard 2.1 decides, and the departure
of the other reader is listed in ``scripts/reader_departures.py`` with its clause.
"""

from itertools import islice

import pytest

from scripts.compare_readers import (
    COLLECTIONS,
    MOST_EXCUSED_PERCENT,
    Comparison,
    compared,
    demo_texts,
    graced_differences,
    tune_texts,
)
from scripts.other_readers import READERS, heard
from scripts.our_reading import bare, our_reading
from scripts.reader_departures import DEPARTURES, explained
from scripts.reader_differences import differences

HEAD = "X:1\nT:x\nM:4/4\nL:1/8\nK:D\n"
#: A line of music for every departure: the reader hears something else than the standard says.
SHOWN_BY = [
    ("music21", "3", "(words) d>e |f8| of no field\n", "A4B4"),
    ("music21", "3.2", "", "[K:C]c8"),
    ("music21", "4.3", "", "A3//B/B/ c2 d4"),
    ("music21", "4.4", "", "A->A B2 c4"),
    ("music21", "4.4", "", "A>B<c d2 e2 f"),
    ("music21", "4.5", "", "A4x4"),
    ("music21", "4.8", "", "A6B4"),
    ("music21", "4.8", "", "A8:|:B8"),
    ("music21", "4.8", "", "A6BA::B8"),
    ("music21", "4.9", "", "A8||1B8:|2c8"),
    ("music21", "4.9", "", "A8|1B8|c8"),
    ("music21", "4.17", "", "[Ac\n]8"),
    ("music21", "11.3", "", "=c2d2c4"),
    ("verovio", "3.2", "", "c8|\nK:C\nc8"),
    ("verovio", "4.4", "", "A >B B2 c4"),
    ("verovio", "4.4", "", "A<c3 B4"),
    ("verovio", "4.4", "", "A>B<c d2 e2 f"),
    ("verovio", "4.5", "", "Z2"),
    ("verovio", "4.8", "", "A8::B8"),
    ("verovio", "4.8", "", "A8|::\n::B8|c8"),
    ("verovio", "4.8", "", "^G8::G8"),
    ("verovio", "4.9", "", "|1B8:|2c8"),
    ("verovio", "4.13", "", "(3zAB c2 A4"),
    ("verovio", "4.17", "", "[A8z8]"),
    ("verovio", "11.3", "", "^G2g2G4"),
]


@pytest.fixture(scope="module")
def answers():
    """What each reader hears in its lines, all in one go."""
    return {
        (reader, *line): events
        for reader in READERS
        for line, events in zip(
            lines_of(reader),
            heard(reader, "abc", [tune_of(*line) for line in lines_of(reader)]),
            strict=True,
        )
    }


def lines_of(reader):
    return [(more_head, signs) for one, _, more_head, signs in SHOWN_BY if one == reader]


def tune_of(more_head, signs):
    return f"{HEAD.replace('K:', f'{more_head}K:')}d8|e8|{signs}|f8|g8|]\n"


@pytest.mark.parametrize(("reader", "clause", "more_head", "signs"), SHOWN_BY)
def test_a_listed_departure_is_shown_by_a_line_of_music(answers, reader, clause, more_head, signs):
    reading = our_reading(tune_of(more_head, signs))
    theirs = answers[reader, more_head, signs]
    found = [explained(one, reader, reading) for one in differences(reading, theirs)]
    assert found
    assert all(clause in {one.clause for one in some or []} for some in found)


def test_every_listed_departure_is_shown():
    shown = [(reader, clause) for reader, clause, _, _ in SHOWN_BY]
    assert sorted(shown) == sorted((one.reader, one.clause) for one in DEPARTURES)


def test_both_readers_hear_a_sample_of_the_collections_as_we_do():
    sample = [
        text
        for collection, every in zip(COLLECTIONS, (120, 120, 120, 20), strict=True)
        for text in islice(tune_texts(collection), 0, None, every)
    ]
    assert len(sample) >= 40
    assert_agreed(compared("a sample", sample))


@pytest.mark.slow
@pytest.mark.parametrize("collection", COLLECTIONS)
def test_both_readers_hear_an_eighth_of_each_collection_as_we_do(collection):
    comparisons = compared(collection, list(tune_texts(collection))[::8])
    assert_agreed(comparisons)
    for one in comparisons:
        assert one.excused_percent <= MOST_EXCUSED_PERCENT


def test_both_readers_hear_every_demo_tune_as_we_do_without_its_gracenotes():
    # 4.12: gracenotes have no time of their own, so taking them away changes no length
    comparisons = compared("demo tunes", demo_texts())
    assert_agreed(comparisons)
    assert [one.excused for one in comparisons] == [set(), set()]
    assert [one.failed for one in comparisons] == [0, 0]


def test_both_readers_hear_every_gracenote_of_the_demo_tunes_in_our_musicxml():
    assert list(graced_differences()) == []


def assert_agreed(comparisons):
    assert [one.reader for one in comparisons] == list(READERS)
    for one in comparisons:
        assert one.faults == []
        assert one.tunes > one.failed
        assert one.bars


SOUND = [event for bar in our_reading(f"{HEAD}|:A8|1B8:|2c8|]\n").bars for event in bar.events]


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize(
    ("place", "heard_there"),
    [
        (0, []),
        (1, [("note", "69 2"), ("note", "69 2")]),
        (1, [("note", "70 4")]),
        (1, []),
        (2, [("ending", "2")]),
        (4, []),
    ],
)
def test_a_difference_that_no_departure_explains_is_a_fault(reader, place, heard_there):
    assert [kind for kind, _ in SOUND][:5] == ["opens", "note", "ending", "note", "closes"]
    comparison = Comparison("", reader)
    theirs = [*SOUND[:place], *heard_there, *SOUND[place + 1 :]]
    comparison.add("x", our_reading(f"{HEAD}|:A8|1B8:|2c8|]\n"), theirs)
    is_never_read = reader == "verovio" and SOUND[place][0] == "ending"
    assert len(comparison.faults) == (0 if is_never_read else 1)


def test_a_reader_that_crashes_or_takes_for_ever_is_counted_as_failed():
    # Verovio 6.4 ends its process at a text without X: line; music21 10.5 counts a note for minutes
    (crashed, after) = heard("verovio", "abc", ["no tune", HEAD + "A8|B8|]\n"])
    assert crashed is None
    assert after is not None
    comparison = Comparison("", "verovio")
    comparison.add("x", our_reading(HEAD + "A8|]\n"), crashed)
    assert (comparison.tunes, comparison.failed, comparison.faults) == (1, 1, [])


def test_a_tune_made_bare_keeps_its_pitches_and_lengths():
    for text in demo_texts():
        plain = [e for bar in our_reading(bare(text)).bars for e in bar.events]
        graced = [e for bar in our_reading(text).bars for e in bar.events if e[0] != "grace"]
        assert plain == graced
