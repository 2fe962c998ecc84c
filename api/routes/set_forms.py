"""What does a person fill in about a set, and what is read back?"""

from __future__ import annotations

from dataclasses import fields
from datetime import datetime
from typing import Annotated

from pydantic import Field

from api.actions.records import Kept
from api.routes.form import (
    Answer,
    Form,
    LineText,
    LongText,
    NameText,
    RowKey,
    Seconds,
    TempoBpm,
    TimesThrough,
)
from planner.event.event import Attack, CutOff, Entry, Familiarity, Occasion, Set, Weight
from planner.event.played_parts import MOST_TIMES


class EntryForm(Form):
    """A tune as it is played in a set; ``parts`` in playing order, empty: all as printed.

    ``part_times`` says how often each of them is played, 0 or nothing: as printed. ``last_bar``
    and ``link`` are ABC in the tune's metre, a plain letter being a quaver.
    """

    tune_key: RowKey
    tempo_bpm: TempoBpm | None = None
    times_through: TimesThrough = 1
    parts: Annotated[tuple[Annotated[int, Field(ge=1, le=40)], ...], Field(max_length=40)] = ()
    start_line: LineText = ""
    stop_line: LineText = ""
    join: LineText = ""
    pause_after_s: Seconds = 0.0
    part_times: Annotated[
        tuple[Annotated[int, Field(ge=0, le=MOST_TIMES)], ...], Field(max_length=40)
    ] = ()
    last_bar: LongText = ""
    link: LongText = ""
    attack: Attack | None = None
    cut_off: CutOff | None = None
    cue: LineText = ""

    def entry(self) -> Entry:
        """The entry as the engine knows it."""
        return Entry(**dict(self))


class SetForm(Form):
    """A set: the number called on the street, a short name, and the tunes in order."""

    number: Annotated[int, Field(ge=1, le=999)]
    name: NameText
    occasion: Occasion | None = None
    times_through: TimesThrough = 1
    introduction_beats: Annotated[int, Field(ge=0, le=128)] | None = None
    ruleset: LineText = ""
    dance: LineText = ""
    steps: Annotated[tuple[Annotated[int, Field(ge=1, le=100)], ...], Field(max_length=2)] = ()
    weight: Weight | None = None
    familiarity: Familiarity | None = None
    bars_per_step: Annotated[int, Field(ge=1, le=200)] | None = None
    entries: Annotated[tuple[EntryForm, ...], Field(max_length=60)] = ()

    def planned(self, key: str = "") -> Set:
        """The set as the engine knows it."""
        return Set(
            key=key,
            number=self.number,
            name=self.name,
            entries=tuple(entry.entry() for entry in self.entries),
            occasion=self.occasion,
            times_through=self.times_through,
            introduction_beats=self.introduction_beats,
            ruleset=self.ruleset,
            dance=self.dance,
            steps=self.steps,
            weight=self.weight,
            familiarity=self.familiarity,
            bars_per_step=self.bars_per_step,
        )


class SetAnswer(Answer):
    """A set of the library."""

    key: str
    version: int
    changed_at: datetime
    number: int
    name: str
    occasion: Occasion | None
    times_through: int
    introduction_beats: int | None
    ruleset: str
    dance: str
    steps: tuple[int, ...]
    weight: Weight | None
    familiarity: Familiarity | None
    bars_per_step: int | None
    entries: tuple[Entry, ...]


def set_answer(kept: Kept[Set]) -> SetAnswer:
    """A set as it is read back."""
    words = {field.name: getattr(kept.noun, field.name) for field in fields(kept.noun)}
    return SetAnswer(version=kept.version, changed_at=kept.changed_at, **words)
