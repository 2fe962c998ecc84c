"""What do the list of events and the form of an event say?"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, time

from api.display.choices import Choices, kind_of
from api.display.form import FormView
from api.display.pages.desk import when_words
from api.display.pages.street_form import route_values
from api.display.planned import setting_words
from api.display.words import clock_words, counted
from planner.event.event import Event, Item, Set, Setting


@dataclass(frozen=True, slots=True)
class EventLineView:
    """One event in the list."""

    address: str
    name: str
    occasion: str
    when: str
    order: str


@dataclass(frozen=True, slots=True)
class EventsView:
    """The events to come, and those that were."""

    ahead: tuple[EventLineView, ...]
    past: tuple[EventLineView, ...]


@dataclass(frozen=True, slots=True)
class ItemRowView:
    """One item in the form of an event; ``prefix`` starts the names of its fields."""

    prefix: str
    place: int
    name: str


def events_view(events: Iterable[Event], today: date) -> EventsView:
    """Every event, the next first, then those that were, the latest first."""
    known = tuple(events)
    ahead = [event for event in known if event.day is None or event.day >= today]
    past = [event for event in reversed(known) if event.day is not None and event.day < today]
    return EventsView(
        tuple(_line(event, today) for event in ahead), tuple(_line(event, today) for event in past)
    )


def _line(event: Event, today: date) -> EventLineView:
    sets = sum(bool(item.set_key) for item in event.items)
    off = f", step-off {clock_words(event.clock.step_off)}" if event.clock.step_off else ""
    return EventLineView(
        address=f"/events/{event.key}",
        name=event.name,
        occasion=setting_words(event.setting),
        when=when_words(event.day, today) + off,
        order=counted(sets, "set") if sets else "no sets yet",
    )


def event_form(event: Event, action: str, version: int) -> FormView:
    """What stands in the form of an event."""
    values = {
        "name": (event.name,),
        "day": (event.day.isoformat() if event.day else "",),
        **_setting_values(event.setting),
        **{f"clock.{name}": (_clock(at),) for name, at in _times(event)},
        **route_values(event.route),
        **_loudness_values(event),
        "answers_by": (event.answers_by.isoformat() if event.answers_by else "",),
        **_arrangement_values(event),
    }
    for row, item in enumerate(event.items):
        values |= {f"items.{row}.{name}": (text,) for name, text in item_values(item).items()}
    return FormView(action, values, version=str(version), newer=f"/events/{event.key}")


def _setting_values(setting: Setting) -> dict[str, tuple[str, ...]]:
    control = setting.control
    return {
        "setting.occasion": (kind_of(setting),),
        "setting.drums": (setting.drums.value,),
        "setting.control.rung": (str(control.rung or ""),),
        "setting.control.measured_sd_ms": (_number(control.measured_sd_ms),),
        "setting.circumstances": tuple(each.value for each in setting.circumstances),
    }


def _times(event: Event) -> Sequence[tuple[str, time | None]]:
    clock = event.clock
    return (
        ("meet", clock.meet),
        ("tune_up", clock.tune_up),
        ("step_off", clock.step_off),
        ("end", clock.end),
    )


def _loudness_values(event: Event) -> dict[str, tuple[str, ...]]:
    loudness = event.loudness
    if loudness is None:
        return {}
    return {
        "loudness.level_dba": (_number(loudness.level_dba),),
        "loudness.where": (loudness.where,),
    }


def _arrangement_values(event: Event) -> dict[str, tuple[str, ...]]:
    told = event.arrangements
    return {
        "arrangements.place": (told.place,),
        "arrangements.dress": (told.dress,),
        "arrangements.transport": (told.transport,),
        "arrangements.contact": (told.contact,),
        "arrangements.wet_plan": (told.wet_plan,),
        "arrangements.hazards": (told.hazards,),
        "arrangements.stop_signal": (told.stop_signal,),
    }


def item_values(item: Item) -> dict[str, str]:
    """What stands in the fields of one item of the running order."""
    return {
        "set_key": item.set_key,
        "text": item.text,
        "seconds": _number(item.seconds or None),
        "gap_after_s": _number(item.gap_after_s or None),
        "start": _clock(item.start),
    }


def item_rows(form: FormView, sets: Choices) -> tuple[ItemRowView, ...]:
    """The rows of the running order, as many as the form has; ``sets`` are (key, words)."""
    names = {key: words for key, words in sets if key}
    rows = sorted({int(name.split(".")[1]) for name in form.values if name.startswith("items.")})
    return tuple(
        ItemRowView(f"items.{row}", row, names.get(_set_key(form, row), "")) for row in rows
    )


def _set_key(form: FormView, row: int) -> str:
    return form.value(f"items.{row}.set_key")


def set_choices(sets: Iterable[Set]) -> Choices:
    """The sets to choose from by number and name, the first line standing for none."""
    return (("", "choose a set"), *((each.key, f"{each.number} {each.name}") for each in sets))


def _clock(at: time | None) -> str:
    return f"{at:%H:%M}" if at else ""


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:g}"
