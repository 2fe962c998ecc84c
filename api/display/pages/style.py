"""What does every component look like, in every state? Examples only; nothing here is a plan."""

from __future__ import annotations

from dataclasses import dataclass

from api.display.drawing.examples import example_figures
from api.display.drawing.ink import Figure
from api.display.form import FormView
from api.display.pages.about import SignView, move_signs
from api.display.paper.drum_sheet import BarView, StripView
from api.display.planned_tune import (
    DrumsView,
    FindingView,
    MarkLineView,
    PlannedTuneView,
    ReasonView,
)
from api.display.signs import move_sign
from planner.marks.marks import Move

VERDICTS = ("strict", "watch", "follow", "conflict")


@dataclass(frozen=True, slots=True)
class StyleView:
    """One example of everything."""

    filled: FormView
    wrong: FormView
    stale: FormView
    refused: FormView
    findings: tuple[FindingView, ...]
    strip: StripView
    signs: tuple[SignView, ...]
    marked: PlannedTuneView
    unmarked: PlannedTuneView
    figures: tuple[Figure, ...]
    verdicts: tuple[str, ...] = VERDICTS


def style_view() -> StyleView:
    """The examples of the style page."""
    values = {"name": ("Lanterns",), "words": ("A line\nand another",), "tags": ("parade",)}
    faults = {
        "name": "This is empty: write something here.",
        "words": "This is longer than 300 letters: shorten it.",
        "kind": "This is no occasion: choose one.",
        "tags": "This is missing: choose one.",
    }
    return StyleView(
        filled=FormView("/style", values),
        wrong=FormView("/style", {**values, "name": ("",)}, faults),
        stale=FormView("/style", values, is_stale=True, newer="/style"),
        refused=FormView(
            "/style", values, notice="The set is used by an event: take it out there."
        ),
        findings=(
            FindingView("refuse", "Massed bands keep one time signature a set.", "Set 2"),
            FindingView("warn", "No day is set.", "", "/style", "Change the event"),
            FindingView("note", "Unnamed movement on D.", "part 1, bar 3, beat 1"),
        ),
        strip=StripView("Part 1", _bars()),
        signs=move_signs(),
        marked=_tune(_marks()),
        unmarked=_tune(()),
        figures=example_figures(),
    )


def _bars() -> tuple[BarView, ...]:
    moves = {"watch": ("beat 2", "12 ms later"), "follow": ("beat 1", "35 ms earlier")}
    moves["conflict"] = ("beat 2", "26 ms later")
    shown = ("strict", "watch", "follow", "conflict")
    return tuple(
        BarView(str(number), verdict, moves.get(verdict, ()))
        for number, verdict in enumerate(shown * 2, start=1)
    )


def _marks() -> tuple[MarkLineView, ...]:
    asks = {"watch": "12 ms later", "follow": "to be agreed: 35 ms earlier"}
    return tuple(
        MarkLineView(
            anchor=f"example-{number}",
            sign=move_sign(move),
            where=f"Part 1, bar {number}, beat 1",
            what=f"{move.value.capitalize()} D, C pays",
            why="It stands on a strong beat.",
            size="35 ms later",
            heard="heard; reliable",
            verdict=VERDICTS[number % len(VERDICTS)],
            asks=asks.get(VERDICTS[number % len(VERDICTS)], ""),
        )
        for number, move in enumerate(Move, start=1)
    )


def _tune(marks: tuple[MarkLineView, ...]) -> PlannedTuneView:
    return PlannedTuneView(
        title="An Example with Marks" if marks else "An Example without Marks",
        address="/style",
        tune_address="/style",
        facts="march, 2/4, 2 parts, twice through, tonal centre A",
        tempo="86",
        tempo_unit="crotchets a minute",
        layers=(
            ("within the beat", "slight"),
            ("across the bar", "agreed"),
            ("across the phrase", "none"),
            ("between tunes", "full"),
        ),
        drums=DrumsView("strict tempo", "No stroke moves, the score is played as written."),
        reasons=(
            ReasonView("Across the bar only as agreed.", "occasions.parade.own_band.across_bar"),
        ),
        marks=marks,
        marks_said="Six marks: two watch, two follow and two conflict" if marks else "",
        no_marks="" if marks else "No note both stands out and has room: play it as written.",
        lines=(("Start", "Two three-pace rolls, all in on the tune."), ("Stop", "End of part 2.")),
        left_out=(("part 1, bar 2, beat 1", "its neighbours have no time to give"),),
    )
