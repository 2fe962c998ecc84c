"""One example of every drawing, for the page that shows how the pages look."""

from __future__ import annotations

from api.display.drawing.bar import figure_of_bar
from api.display.drawing.bar_facts import BarHere, NoteHere, Timed
from api.display.drawing.ink import Figure
from api.display.drawing.route import route_figure
from api.display.drawing.set_path import Leg, Path, figure_of_path
from api.display.drawing.timeline import Day, Played, figure_of_day
from api.display.street import StripPieceView, StripView
from planner.event.joins import Join, Lift, Neighbour, Smoothness
from planner.music.tempo import Metre

MINUTE = 60.0


def example_figures() -> tuple[Figure, ...]:
    """Every drawing with every look it has."""
    return (
        figure_of_day(_day()),
        route_figure(_strip(), {"Lanterns": "1", "Harvest home": "2"}),
        figure_of_path(_path()),
        figure_of_bar(_bar()),
    )


def _day() -> Day:
    return Day(
        named=(
            ("meet", "09:15", -75 * MINUTE),
            ("tune-up", "09:45", -45 * MINUTE),
            ("step-off", "10:30", 0.0),
            ("end", "10:50", 20 * MINUTE),
        ),
        played=(
            Played("Lanterns", "1", "10:30", 0.0, 4.5 * MINUTE, is_open=False),
            Played("Drums alone", "", "10:36", 6 * MINUTE, 2 * MINUTE, is_open=False),
            Played("Harvest home", "2", "10:39", 9 * MINUTE, 5 * MINUTE, is_open=True),
        ),
        slot_s=20 * MINUTE,
    )


def _strip() -> StripView:
    return StripView(
        length_m=900.0,
        stretches=(
            StripPieceView("the quay", "level", 0.0, 200.0),
            StripPieceView("the brae", "up", 200.0, 420.0),
            StripPieceView("the high street", "level", 420.0, 700.0),
            StripPieceView("the way down", "down", 700.0, 900.0),
        ),
        items=(
            StripPieceView("Lanterns", "set", 0.0, 290.0, "10:30"),
            StripPieceView("Drums alone", "words", 390.0, 520.0, "10:36"),
            StripPieceView("Harvest home", "set", 585.0, 960.0, "10:39"),
        ),
        places=(
            StripPieceView("the church", "silent", 310.0, 370.0, "10:34"),
            StripPieceView("the saluting base", "sounding", 540.0, 620.0, "10:38", False),
        ),
        halts=((420.0, "30 s"),),
    )


def _path() -> Path:
    return Path(
        introduction_s=6.0,
        legs=(
            Leg("Lanterns", "2/4", "A", 84.0, 6.0, 90.0),
            Leg("The Long Quay", "2/4", "A", 84.0, 96.0, 90.0),
            Leg("Oats", "6/8", "D", 88.0, 186.0, 60.0),
            Leg("Harvest home", "4/4", "B minor", 72.0, 250.0, 80.0),
        ),
        joins=(
            _join("Lanterns", "The Long Quay", Smoothness.SMOOTH, Lift.FLAT, 0.0),
            _join("The Long Quay", "Oats", Smoothness.WORKABLE, Lift.LIFT, 0.05),
            _join("Oats", "Harvest home", Smoothness.DRILL, Lift.EVEN, -0.18),
        ),
    )


def _join(before: str, after: str, runs: Smoothness, lift: Lift, change: float) -> Join:
    leaving, coming = (Neighbour(title, Metre(2, 4), 84.0) for title in (before, after))
    return Join(before, after, runs, lift, change, (), leaving, coming)


def _bar() -> BarHere:
    """Two beats of 700 ms; the first note is held by 40 ms, and the one after it pays."""
    return BarHere(
        name="Part 1, bar 3",
        notes=(
            NoteHere("low A", "1", True, Timed(0, 0, 60, 525), Timed(0, 0, 60, 565)),
            NoteHere("B", "1.75", False, Timed(525, 525, 525, 665), Timed(565, 565, 565, 665)),
            NoteHere("E", "2", True, Timed(700, 665, 770, 1225), Timed(700, 665, 770, 1225)),
            NoteHere("C", "2.75", False, Timed(1225, 1225, 1225, 1400),
                     Timed(1225, 1225, 1225, 1400)),
        ),
        start_ms=0.0,
        end_ms=1400.0,
        played_end_ms=1400.0,
        beat_ms=700.0,
    )  # fmt: skip
