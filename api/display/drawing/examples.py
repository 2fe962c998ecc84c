"""One example of every drawing, for the page that shows how the pages look."""

from __future__ import annotations

from api.display.drawing.ink import Figure
from api.display.drawing.timeline import Day, Played, figure_of_day

MINUTE = 60.0


def example_figures() -> tuple[Figure, ...]:
    """Every drawing with every look it has."""
    return (figure_of_day(_day()),)


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
