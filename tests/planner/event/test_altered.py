"""An altered last bar, and bars that link two tunes: what is heard, for how long, what fits."""

from __future__ import annotations

from fractions import Fraction

import pytest

from planner.errors import NotationError
from planner.event.altered import link_beats, link_tune, refuse_misfits
from planner.event.checks import check_metres
from planner.event.entry_time import played_beats
from planner.event.event import Entry, Occasion, Set, Setting, Sort
from planner.event.joins import neighbour
from planner.event.played_parts import as_played, in_turn
from planner.event.stops import stops_of_set
from planner.event.timetable import Kind, time_set
from planner.music.tune import Tune
from planner.rules.load import load_rulebook
from tests.builders import tune

BOOK = load_rulebook()
PARADE = Setting(Occasion.PARADE, Sort.OWN_BAND)
# Each bar is one note long, so that a pass can be read at a glance.
ONCE = tune("2/4 | A4 | B4 || c4 | d4 |]", title="Played Once")
REPEATED = tune("2/4 |: A4 | B4 :| |: c4 | d4 :|", title="Repeated")
ENDINGS = tune("2/4 |: A4 | B4 :| |: c4 |1 d4 :|2 e4 |]", title="Two Endings")
LONG_ENDINGS = tune("2/4 |: c4 |1 d4 | A4 :|2 e4 | f4 |]", title="Long Endings")
PICKED_UP = tune("2/4 f | A4 | B3 f | c4 | d3 |]", title="With a Pick-up")


def heard(entry: Entry, of: Tune, *, is_last: bool = True) -> str:
    played = as_played(entry, of) if is_last else in_turn(entry, of)
    notes = (note for bar in played.played_bars() for note in bar.notes)
    return " ".join(note.pitch.name.replace(" ", "") for note in notes if note.pitch)


@pytest.mark.parametrize(
    ("of", "entry", "earlier", "last"),
    [
        (ONCE, {}, "lowA B C D", "lowA B C F"),
        (ONCE, {"times_through": 2}, "lowA B C D", "lowA B C F"),
        (ONCE, {"parts": (2, 1)}, "C D lowA B", "C D lowA F"),
        (REPEATED, {}, "lowA B lowA B C D C D", "lowA B lowA B C D C F"),
        (REPEATED, {"times_through": 0}, "lowA B lowA B C D C D", "lowA B lowA B C D C F"),
        (REPEATED, {"parts": (2, 1, 2)}, "C D C D lowA B lowA B C D C D",
         "C D C D lowA B lowA B C D C F"),
        (ENDINGS, {}, "lowA B lowA B C D C E", "lowA B lowA B C D C F"),
        (ENDINGS, {"times_through": 3}, "lowA B lowA B C D C E", "lowA B lowA B C D C F"),
        (ENDINGS, {"parts": (2,), "part_times": (1,)}, "C E", "C F"),
        (LONG_ENDINGS, {}, "C D lowA C E F", "C D lowA C E F"),
        (LONG_ENDINGS, {"times_through": 2}, "C D lowA C E F", "C D lowA C E F"),
    ],
)  # fmt: skip
def test_only_the_very_last_bar_is_another(
    of: Tune, entry: dict[str, object], earlier: str, last: str
) -> None:
    planned = Entry("x", last_bar="f4", **entry)  # type: ignore[arg-type]
    assert heard(planned, of, is_last=False) == earlier
    assert heard(planned, of) == last


def test_every_printed_bar_that_is_played_keeps_its_place_beside_the_altered_one() -> None:
    def addresses(**entry: object) -> list[tuple[int, int]]:
        planned = Entry("x", last_bar="f4", **entry)  # type: ignore[arg-type]
        return [(bar.number, bar.ending) for bar in as_played(planned, ENDINGS).parts[-1].bars]

    # Once through: the second ending is never heard as printed, so the altered bar takes its place.
    assert addresses() == [(1, 0), (2, 1), (2, 2)]
    # Twice through: the printed second ending is heard the first time.
    assert addresses(times_through=2) == [(1, 0), (2, 1), (2, 2), (2, 3)]


def test_a_shorter_last_bar_shortens_only_the_last_time_through() -> None:
    entry = Entry("x", times_through=3, last_bar="d3")
    assert played_beats(entry, PICKED_UP) == played_beats(Entry("x", times_through=3), PICKED_UP)
    assert played_beats(Entry("x", times_through=3, last_bar="d2"), PICKED_UP) == (
        played_beats(Entry("x", times_through=3), PICKED_UP) - Fraction(1, 2)
    )


def test_a_set_is_its_introduction_its_tunes_and_its_joins_with_link_bars() -> None:
    tunes = {"a": ONCE, "b": REPEATED}
    linked = Entry("a", tempo_bpm=80, link="e4 | e2 f2", pause_after_s=1.5)
    a_set = Set("s", 1, "Linked", (linked, Entry("b", tempo_bpm=90)), introduction_beats=8)
    timetable = time_set(a_set, tunes, BOOK, PARADE)
    # Two bars of two beats at 80 are 3 s, and the silence comes after them.
    assert timetable.length_of(Kind.JOIN) == Fraction(9, 2)
    assert timetable.length() == sum(timetable.length_of(kind) for kind in Kind)
    assert timetable.length() == 6 + 6 + Fraction(9, 2) + Fraction(16 * 60, 90)
    stops = stops_of_set(timetable, a_set, tunes)
    assert stops[-1].seconds == timetable.length()


def test_nerves_drive_the_link_bars_and_not_the_silence() -> None:
    linked = Entry("a", tempo_bpm=80, link="e4 | e2 f2", pause_after_s=1.5)
    a_set = Set("s", 1, "Linked", (linked, Entry("a", tempo_bpm=80)), introduction_beats=0)
    timetable = time_set(a_set, {"a": ONCE}, BOOK, PARADE)
    assert timetable.length(Fraction(2)) == (6 + 3 + 6) / Fraction(2) + Fraction(3, 2)


def test_the_next_tune_meets_the_last_note_of_the_link() -> None:
    link = link_tune(Entry("x", link="e2 A2"), ONCE)
    assert link is not None
    met = neighbour(ONCE, 80, "", link)
    assert met.last_note is not None
    assert met.last_note.name == "low A"
    assert link_beats(Entry("x", link="e2 A2"), ONCE) == 2


def test_a_link_in_another_metre_counts_among_the_metres_of_a_massed_set() -> None:
    massed = Setting(Occasion.PARADE, Sort.MASSED)
    a_set = Set("s", 1, "Mixed", (Entry("a", link="[M:3/4] e6"), Entry("a")))
    assert [found.code for found in check_metres(a_set, {"a": ONCE}, massed)] == ["mixed_metres"]


@pytest.mark.parametrize("text", ["f4", "{g}f2 {ag}f2", "(3fgf e2", "f3 e", "[L:1/16] f8"])
def test_a_bar_that_adds_up_fits(text: str) -> None:
    refuse_misfits(Entry("x", last_bar=text), ONCE, [])


def test_the_last_bar_leaves_room_for_the_pick_up_that_follows() -> None:
    refuse_misfits(Entry("x", last_bar="f3"), ONCE, [PICKED_UP])
    refuse_misfits(Entry("x", last_bar="f3", link="f | A4"), ONCE, [])
    refuse_misfits(Entry("x", last_bar="f3"), PICKED_UP, [])


@pytest.mark.parametrize(
    ("entry", "sentence"),
    [
        ({"last_bar": "f3"},
         "the altered last bar: it holds 1 1/2 crotchets where 2/4 has 2 crotchets; "
         "make it 2 crotchets."),
        ({"last_bar": "f4 | f4"}, "the altered last bar: it holds 2 bars; write one."),
        ({"last_bar": "[M:3/4] f6"}, "the altered last bar: it is in 3/4; write it in 2/4."),
        ({"link": "f | f4"},
         "the link: its pick-up has 1/2 crotchet where the last bar of the tune is full;"),
        ({"last_bar": "z4"}, "the altered last bar: it has no notes"),
        ({"last_bar": "|: f4 :|"}, "the altered last bar: it has a repeat or an ending"),
        ({"last_bar": "c'4"}, "bar 1: it needs a C sharp (octave 6), which"),
        ({"last_bar": "f4\n\nX:2\nK:HP\nf4"}, "it holds more than bars of music"),
        ({"link": "f4 | f3 | f4"},
         "the link, bar 2: it holds 1 1/2 crotchets where 2/4 has 2 crotchets; make it 2"),
        ({"link": "f4 | f5"}, "the link, bar 2: it holds 2 1/2 crotchets"),
        ({"link": "f4 | ?4"}, "the link"),
    ],
)  # fmt: skip
def test_what_cannot_be_played_is_said_in_one_sentence(
    entry: dict[str, str], sentence: str
) -> None:
    with pytest.raises(NotationError) as refused:
        refuse_misfits(Entry("x", **entry), ONCE, [])  # type: ignore[arg-type]
    assert sentence in str(refused.value)
    assert str(refused.value).count("\n") == 0
