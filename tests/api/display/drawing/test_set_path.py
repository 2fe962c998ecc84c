"""The two paths of a set: time across, tempo and tonal centre up. Seconds = beats x 60 / tempo."""

from __future__ import annotations

from dataclasses import replace

import pytest

from api.display.drawing.examples import example_figures
from api.display.drawing.ink import WIDE, Figure, Ink
from api.display.drawing.set_path import (
    Leg,
    Path,
    centre_steps,
    figure_of_path,
    path_figure,
    tempo_heights,
)
from planner.event.event import Entry, Occasion, Set, Setting, Sort
from planner.event.joins import judge_joins, neighbour
from planner.event.timetable import time_set
from planner.music.tempo import Metre, Tempo
from planner.music.tune import outline
from planner.rules.load import load_rulebook
from tests.api.display.drawing.laid_out import check_layout

# 32 bars of two beats: 48 s at 80, 40 s at 96; with 8 beats of rolls and 6 s of silence 100 s.
TUNES = {
    "one": outline("Lanterns", Metre(2, 4), ((8, 2), (8, 2)), tempo=Tempo(80), idiom="march"),
    "two": outline("Oats", Metre(6, 8), ((8, 2), (8, 2)), tempo=Tempo(96), idiom="march"),
}
CENTRES = {"one": "A", "two": "D"}
STREET = Set(
    "1", 1, "Street", (Entry("one", pause_after_s=6.0), Entry("two")), introduction_beats=8
)
PARADE = Setting(Occasion.PARADE, Sort.OWN_BAND)


def path_of(a_set: Set = STREET) -> Figure | None:
    rules = load_rulebook()
    met = [neighbour(TUNES[key], TUNES[key].tempo.bpm, CENTRES[key]) for key in ("one", "two")]  # type: ignore[union-attr]
    return path_figure(
        time_set(a_set, TUNES, rules, PARADE), TUNES, CENTRES, judge_joins(met, rules)
    )


def wide(figure: Figure | None) -> Ink:
    assert figure is not None
    return next(ink for ink in figure.drawn if ink.frame is WIDE)


def leg(bpm: float = 80, centre: str = "A") -> Leg:
    return Leg("Lanterns", "2/4", centre, bpm, 0.0, 10.0)


def test_every_tune_is_as_wide_as_it_is_long() -> None:
    ink = wide(path_of())
    assert [(b.x, b.width) for b in ink.blocks] == [
        pytest.approx((6, 48)),
        pytest.approx((60, 40)),
    ]
    tempo = [line for line in ink.lines if line.kind in ("before", "street")]
    assert [(line.x1, line.x2) for line in tempo] == [
        pytest.approx((0, 6)),
        pytest.approx((6, 54)),
        pytest.approx((60, 100)),
    ]


def test_the_quicker_tune_stands_higher() -> None:
    first, second = [line for line in wide(path_of()).lines if line.kind == "street"]
    assert second.y1 < first.y1


def test_a_set_played_twice_is_drawn_twice_without_a_word_on_the_join_back() -> None:
    figure = path_of(replace(STREET, times_through=2))
    ink = wide(figure)
    assert len(ink.blocks) == 4
    assert [sign.kind for sign in ink.signs].count("lift") == 2
    assert figure is not None
    check_layout(figure)


def test_the_words_tell_every_tune_and_every_join() -> None:
    figure = path_of()
    assert figure is not None
    assert figure.words[0] == "Introduction: 6 s."
    assert figure.words[1] == "Lanterns: 2/4, 80 felt beats a minute, tonal centre A, 48 s."
    assert figure.words[2].startswith("Join to be drilled, it lifts: the tempo changes by 20 %")
    assert figure.words[3] == "Oats: 6/8, 96 felt beats a minute, tonal centre D, 40 s."
    check_layout(figure)


def test_tempos_alike_stand_in_the_middle_and_small_steps_stay_small() -> None:
    assert tempo_heights(Path(0, (leg(80), leg(80)), (None,))) == (0.5, 0.5)
    assert tempo_heights(Path(0, (leg(80), leg(82)), (None,))) == pytest.approx((0.375, 0.625))
    assert tempo_heights(Path(0, (leg(60), leg(120)), (None,))) == pytest.approx((0, 1))


def test_tonal_centres_stand_in_the_order_of_the_scale_from_g() -> None:
    # The scale of the pipes runs from low G; D lies above B, B above A, A above G.
    legs = tuple(leg(centre=name) for name in ("D", "A", "B minor", "G", "A", ""))
    assert centre_steps(Path(0, legs, (None,) * 5)) == (4, 2, 3, 1, 2, 0)


def test_one_tune_has_no_path() -> None:
    assert path_of(replace(STREET, entries=(Entry("one"),))) is None
    assert path_figure(None, {}, {}, ()) is None


@pytest.mark.parametrize("count", [2, 5, 12, 30])
def test_nothing_overlaps_however_many_tunes_there_are(count: int) -> None:
    legs = tuple(
        Leg("The Gathering of Everybody on the Common", "12/8", ("B minor", "A", "")[at % 3],
            60.0 + 7 * (at % 5), 40.0 * at, 38.0) for at in range(count)
    )  # fmt: skip
    check_layout(figure_of_path(Path(0.0, legs, (None,) * (count - 1))))


def test_every_example_of_the_style_page_is_well_laid_out() -> None:
    for figure in example_figures():
        check_layout(figure)
