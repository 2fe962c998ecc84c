"""How does the page of a tune say, and ask, where its parts and phrases begin?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from api.display.form import FormView
from planner.divide import part_starts
from planner.music.tune import Tune


@dataclass(frozen=True, slots=True)
class Division:
    """What somebody set by hand: parts counted through the tune, phrases part by part."""

    part_starts: tuple[int, ...] = ()
    phrase_starts: tuple[tuple[int, ...], ...] = ()


@dataclass(frozen=True, slots=True)
class DivisionView:
    """The forms of parts and phrases: ``phrases`` are (part, field, bars set by hand)."""

    as_they_are: str
    parts: str
    phrases: tuple[tuple[int, str, str], ...]
    is_by_hand: bool
    has_repeats: bool


def division_view(tune: Tune | None, by_hand: Division) -> DivisionView:
    """Where the parts and phrases begin now, and what of it was set by hand."""
    if tune is None:
        return DivisionView("", "", (), False, False)
    set_phrases = dict(enumerate(by_hand.phrase_starts, start=1))
    return DivisionView(
        as_they_are=bars(part_starts(tune)),
        parts=bars(by_hand.part_starts),
        phrases=tuple(
            (part.number, f"phrases.{part.number}", bars(set_phrases.get(part.number, ())))
            for part in tune.parts
        ),
        is_by_hand=bool(by_hand.part_starts or any(by_hand.phrase_starts)),
        has_repeats=any(part.is_repeated for part in tune.parts),
    )


def division_form(division: DivisionView, address: str, version: str) -> FormView:
    """The forms filled in with what was set by hand."""
    values = {name: (words,) for _, name, words in division.phrases}
    values["part_starts"] = (division.parts,)
    return FormView(address, values, version=version)


def bars(numbers: Sequence[int]) -> str:
    """Bars as they are typed: ``1, 9, 17``."""
    return ", ".join(map(str, numbers))
