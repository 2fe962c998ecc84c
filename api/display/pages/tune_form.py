"""What stands in the form of a tune?"""

from __future__ import annotations

from dataclasses import dataclass, field

from api.display.form import FormView
from planner.event.event import Occasion
from planner.music.tune import Credits

OUTLINE_ROWS = 8
"""How many parts can be typed in? Few tunes have more than six."""


@dataclass(frozen=True, slots=True)
class Told:
    """What the band says of a tune; ``parts`` of a tune without notes are (bars, times)."""

    title: str = ""
    idiom: str | None = None
    tempo_bpm: float | None = None
    phrase_bars: int | None = None
    line_bars: int | None = None
    tonal_centre: str = ""
    tags: tuple[Occasion, ...] = ()
    credits: Credits = field(default_factory=Credits)
    permission: str = ""
    standard_setting: str = ""
    remarks: str = ""
    metre: str = ""
    parts: tuple[tuple[int, int], ...] = ()


def tune_form(told: Told, action: str, version: int | None = None) -> FormView:
    """The form of a tune; ``version`` None for a new one."""
    credits = told.credits
    values = {
        "title": (told.title,),
        "idiom": (told.idiom or "",),
        "tempo_bpm": (_number(told.tempo_bpm),),
        "phrase_bars": (_number(told.phrase_bars),),
        "line_bars": (_number(told.line_bars),),
        "tonal_centre": (told.tonal_centre,),
        "tags": tuple(tag.value for tag in told.tags),
        "composer": (credits.composer,),
        "arranger": (credits.arranger,),
        "origin": (credits.origin,),
        "source": (credits.source,),
        "transcriber": (credits.transcriber,),
        "permission": (told.permission,),
        "standard_setting": (told.standard_setting,),
        "remarks": (told.remarks,),
        "outline.metre": (told.metre,),
    }
    for row, (bars, times) in enumerate(told.parts):
        values |= {f"bars.{row}": (str(bars),), f"times.{row}": (str(times),)}
    newer = action.removesuffix("/edit") if version is not None else ""
    return FormView(action, values, version="" if version is None else str(version), newer=newer)


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:g}"
