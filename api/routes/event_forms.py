"""What does a person fill in about an event, and what is read back?"""

from __future__ import annotations

from datetime import date, datetime, time
from typing import Annotated, Any, Literal, Self

from pydantic import AfterValidator, ConfigDict, Field, WithJsonSchema, model_validator

from api.actions.records import Answer as Said
from api.actions.records import EventRecord, Kept
from api.routes.form import Answer, Form, LineText, LongText, NameText, RowKey, Seconds
from planner.event.event import (
    SORTS_BY_OCCASION,
    Arrangements,
    Circumstance,
    Clock,
    Control,
    Drums,
    Event,
    Item,
    Loudness,
    Occasion,
    Setting,
    Sort,
)
from planner.event.route import (
    Route,
    RoutePlace,
    RouteStretch,
    Slope,
    Wanted,
    length_of_stretches,
)
from planner.event.sound import LOUDEST, QUIETEST


def _on_the_wall(moment: time) -> time:
    if moment.tzinfo is not None:
        raise ValueError("times are those of the clock on the wall, without a zone")
    return moment


# JSON Schema's own "time" asks for a zone, which a clock on the wall does not have.
WALL_TIME = {"type": "string", "pattern": r"^\d\d:\d\d(:\d\d(\.\d+)?)?$"}
WallTime = Annotated[time, AfterValidator(_on_the_wall), WithJsonSchema(WALL_TIME)]
Pair = tuple[RowKey, RowKey]


class ControlForm(Form):
    """How well the players command the beat: a rung from 1 to 4, and a measured scatter in ms."""

    rung: Annotated[int, Field(ge=1, le=4)] | None = None
    measured_sd_ms: Annotated[float, Field(gt=0, le=200)] | None = None


class SettingForm(Form):
    """The occasion; ``sort`` empty takes the usual one of the occasion."""

    occasion: Occasion
    sort: Sort | None = None
    drums: Drums = Drums.FULL
    control: ControlForm = ControlForm()
    circumstances: Annotated[tuple[Circumstance, ...], Field(max_length=6)] = ()

    def setting(self) -> Setting:
        """The setting as the engine knows it."""
        return Setting(
            occasion=self.occasion,
            sort=self.sort or SORTS_BY_OCCASION[self.occasion][0],
            drums=self.drums,
            control=Control(self.control.rung, self.control.measured_sd_ms),
            circumstances=tuple(dict.fromkeys(self.circumstances)),
        )


class ClockForm(Form):
    """The times of the day that matter."""

    meet: WallTime | None = None
    tune_up: WallTime | None = None
    step_off: WallTime | None = None
    end: WallTime | None = None


Metres = Annotated[float, Field(ge=0, le=50_000)]


class StretchForm(Form):
    """A piece of the street of one slope, and the seconds of the halt at its end."""

    length_m: Annotated[float, Field(gt=0, le=50_000)]
    slope: Slope = Slope.LEVEL
    name: LineText = ""
    halt_s: Seconds = 0.0
    halt_is_silent: bool = False

    def stretch(self) -> RouteStretch:
        """The stretch as the engine knows it."""
        return RouteStretch(**dict(self))


class PlaceForm(Form):
    """A place along the route, from metre to metre or at one, and what is wanted there."""

    name: NameText
    wanted: Wanted
    from_m: Metres
    to_m: Metres | None = None

    def place(self) -> RoutePlace:
        """The place as the engine knows it."""
        return RoutePlace(**dict(self))


class RouteForm(Form):
    """The street: metres, metres a pace, steps a minute, metres a minute asked for.

    Without ``length_m`` the stretches together are the length.
    """

    length_m: Annotated[float, Field(gt=0, le=50_000)] | None = None
    pace_m: Annotated[float, Field(ge=0.2, le=1.5)]
    steps_per_minute: Annotated[float, Field(ge=20, le=300)]
    asked_m_per_minute: Annotated[float, Field(gt=0, le=300)] | None = None
    column_m: Annotated[float, Field(gt=0, le=500)] | None = None
    stretches: Annotated[tuple[StretchForm, ...], Field(max_length=40)] = ()
    places: Annotated[tuple[PlaceForm, ...], Field(max_length=40)] = ()

    @model_validator(mode="after")
    def _has_a_length(self) -> Self:
        if self.length_m is None and not self.stretches:
            raise ValueError("give the length of the route, or its stretches")
        return self

    def route(self) -> Route:
        """The route as the engine knows it."""
        stretches = tuple(each.stretch() for each in self.stretches)
        return Route(
            length_m=self.length_m or length_of_stretches(stretches),
            pace_m=self.pace_m,
            steps_per_minute=self.steps_per_minute,
            asked_m_per_minute=self.asked_m_per_minute,
            column_m=self.column_m,
            stretches=stretches,
            places=tuple(each.place() for each in self.places),
        )


class LoudnessForm(Form):
    """A measured average level in dB(A), and where it was measured; never a maximum."""

    level_dba: Annotated[float, Field(ge=QUIETEST, le=LOUDEST)]
    where: LineText = ""


class ArrangementsForm(Form):
    """What the call sheet says besides times."""

    place: LineText = ""
    dress: LineText = ""
    transport: LineText = ""
    contact: LineText = ""
    wet_plan: LongText = ""
    hazards: LongText = ""
    stop_signal: LongText = ""


class ItemForm(Form):
    """One item of the running order: a set, or words with a length."""

    set_key: RowKey | Literal[""] = ""
    text: LineText = ""
    seconds: Seconds = 0.0
    gap_after_s: Seconds = 0.0
    start: WallTime | None = None


class EventForm(Form):
    """A job of the band."""

    name: NameText
    setting: SettingForm
    day: date | None = None
    clock: ClockForm = ClockForm()
    items: Annotated[tuple[ItemForm, ...], Field(max_length=100)] = ()
    route: RouteForm | None = None
    arrangements: ArrangementsForm = ArrangementsForm()
    loudness: LoudnessForm | None = None
    answers_by: date | None = None

    def planned(self, key: str = "") -> Event:
        """The event as the engine knows it."""
        return Event(
            key=key,
            name=self.name,
            setting=self.setting.setting(),
            day=self.day,
            clock=Clock(**dict(self.clock)),
            items=tuple(Item(**dict(item)) for item in self.items),
            route=self.route.route() if self.route else None,
            arrangements=Arrangements(**dict(self.arrangements)),
            loudness=Loudness(**dict(self.loudness)) if self.loudness else None,
            answers_by=self.answers_by,
        )


class SaidForm(Form):
    """What a person answered."""

    person_key: RowKey
    answer: Literal["yes", "no", "maybe"]

    def said(self) -> Said:
        """The answer as the library keeps it."""
        return Said(self.person_key, self.answer)


class LineUpForm(Form):
    """Who answered what; outs and pipe harmony as [person, tune]."""

    answers: Annotated[tuple[SaidForm, ...], Field(max_length=500)] = ()
    outs: Annotated[tuple[Pair, ...], Field(max_length=5_000)] = ()
    harmony: Annotated[tuple[Pair, ...], Field(max_length=5_000)] = ()


class LineUpAnswer(Answer):
    """Who answered what; outs and pipe harmony as [person, tune]."""

    answers: tuple[Said, ...]
    outs: list[tuple[str, str]]
    harmony: list[tuple[str, str]]


class ClockAnswer(Answer):
    """The times of the day that matter, as on the clock on the wall."""

    model_config = ConfigDict(from_attributes=True)

    meet: WallTime | None
    tune_up: WallTime | None
    step_off: WallTime | None
    end: WallTime | None


class ItemAnswer(Answer):
    """One item of the running order."""

    model_config = ConfigDict(from_attributes=True)

    set_key: str
    text: str
    seconds: float
    gap_after_s: float
    start: WallTime | None


class EventAnswer(Answer):
    """An event of the library, without its line-up."""

    key: str
    version: int
    changed_at: datetime
    name: str
    day: date | None
    setting: Setting
    clock: ClockAnswer
    items: tuple[ItemAnswer, ...]
    route: Route | None
    arrangements: Arrangements
    loudness: Loudness | None
    answers_by: date | None


class WholeEventAnswer(EventAnswer):
    """An event of the library with its line-up."""

    line_up: LineUpAnswer


def event_answer(kept: Kept[Event]) -> EventAnswer:
    """An event as it is read back in a list."""
    return EventAnswer(changed_at=kept.changed_at, **_words(kept.noun))


def whole_event_answer(kept: Kept[EventRecord]) -> WholeEventAnswer:
    """An event as it is read back by itself."""
    record = kept.noun
    line_up = LineUpAnswer(
        answers=record.answers,
        outs=sorted(record.line_up.outs),
        harmony=sorted(record.line_up.harmony),
    )
    return WholeEventAnswer(changed_at=kept.changed_at, line_up=line_up, **_words(record.event))


def _words(event: Event) -> dict[str, Any]:
    names = ("key", "version", "name", "day", "setting", "route", "arrangements", "loudness")
    return {
        **{name: getattr(event, name) for name in names},
        "answers_by": event.answers_by,
        "clock": ClockAnswer.model_validate(event.clock),
        "items": tuple(ItemAnswer.model_validate(item) for item in event.items),
    }
