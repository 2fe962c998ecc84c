"""How large and in which shape is a tune drawn?"""

from __future__ import annotations

from dataclasses import dataclass, replace

from planner.errors import EngravingError
from planner.music.tune import Part, Tune

# Paper wider than a broadsheet or narrower than a pocket card is a slip of the pen.
NARROWEST_MM, WIDEST_MM = 40.0, 1000.0


@dataclass(frozen=True, slots=True)
class Layout:
    """The wishes of a page for its music; all lengths in millimetres.

    ``paper_width_mm`` less twice ``side_margin_mm`` is the length of a line of music.
    ``staff_mm`` is the height of the five lines; a line too full for the paper is drawn smaller,
    down to ``smallest_staff_mm``, and below that it is broken in two. ``system_gap_mm`` is the
    white between lines. A ``single_line`` is for an excerpt: as long as its notes need, broken only
    if the paper asks for it, and ended by a plain bar line.
    """

    paper_width_mm: float = 210.0
    side_margin_mm: float = 15.0
    staff_mm: float = 6.0
    smallest_staff_mm: float = 4.0
    system_gap_mm: float = 2.5
    shows_bar_numbers: bool = True
    shows_part_labels: bool = True
    single_line: bool = False

    def __post_init__(self) -> None:
        if not NARROWEST_MM <= self.line_mm <= WIDEST_MM:
            raise EngravingError(
                f"A line of music of {self.line_mm:g} mm cannot be drawn; "
                f"choose paper and margins that leave {NARROWEST_MM:g} to {WIDEST_MM:g} mm."
            )
        if not 2.0 <= self.smallest_staff_mm <= self.staff_mm <= 30.0:
            raise EngravingError(
                f"A staff {self.smallest_staff_mm:g} to {self.staff_mm:g} mm high cannot be drawn; "
                "choose heights between 2 and 30 mm, the smallest first."
            )

    @property
    def line_mm(self) -> float:
        """Length of a line of music."""
        return self.paper_width_mm - 2 * self.side_margin_mm


A4 = Layout()
A5 = Layout(paper_width_mm=148.0, side_margin_mm=10.0, staff_mm=4.8, smallest_staff_mm=3.6)
CARD = Layout(
    paper_width_mm=105.0,
    side_margin_mm=6.0,
    staff_mm=4.5,
    smallest_staff_mm=3.4,
    shows_bar_numbers=False,
    shows_part_labels=False,
    single_line=True,
)


def first_bars(tune: Tune, count: int) -> Tune:
    """The beginning of a tune: its pick-up and ``count`` bars, for a card; draw it as one line.

    Raises:
        EngravingError: fewer than one bar is asked for, or the tune has none.
    """
    if count < 1:
        raise EngravingError(f"{count} bars cannot be shown; ask for one or more.")
    if not tune.parts:
        raise EngravingError(f"{tune.title}: there are no bars to draw; enter the tune's bars.")
    first, number = next(tune.passes())
    bars = tuple(
        replace(bar, starts_line=False) for bar in first.bars_in_pass(number) if bar.number <= count
    )
    return replace(tune, parts=(Part(first.number, bars, 1, first.endings),), order=())


def last_bars(tune: Tune, count: int, part_number: int = 0) -> Tune:
    """The end of a tune: the last ``count`` bars of its last part, or of the part named.

    Raises:
        EngravingError: fewer than one bar is asked for, or the tune has none.
    """
    if count < 1:
        raise EngravingError(f"{count} bars cannot be shown; ask for one or more.")
    if not tune.parts:
        raise EngravingError(f"{tune.title}: there are no bars to draw; enter the tune's bars.")
    played = list(tune.passes())
    last, number = next(
        (turn for turn in reversed(played) if turn[0].number == part_number), played[-1]
    )
    bars = tuple(last.bars_in_pass(number))[-count:]
    shown = tuple(replace(bar, starts_line=False, ending=0) for bar in bars)
    return replace(tune, parts=(Part(last.number, shown, 1),), order=())
