"""What stands in the form of an event about its street? The route, its stretches and its places."""

from __future__ import annotations

import re
from dataclasses import dataclass

from api.display.choices import Choices
from api.display.form import FormView
from planner.event.route import Route, RoutePlace, RouteStretch, Slope, Wanted

STRETCHES, PLACES = "route.stretches", "route.places"
SLOPES: Choices = (
    (Slope.LEVEL.value, "level"),
    (Slope.UP.value, "uphill"),
    (Slope.DOWN.value, "downhill"),
)
AT_HALT: Choices = (("", "the band may play"), ("true", "the band is silent"))
WANTED: Choices = (
    (Wanted.SOUNDING.value, "be sounding"),
    (Wanted.SILENT.value, "be silent"),
)


@dataclass(frozen=True, slots=True)
class RowView:
    """One row of a list in a form; ``prefix`` starts the names of its fields, ``place`` from 0."""

    prefix: str
    place: int


@dataclass(frozen=True, slots=True)
class StreetFormView:
    """The rows of the street, and what can be chosen in them."""

    stretches: tuple[RowView, ...]
    places: tuple[RowView, ...]
    slopes: Choices = SLOPES
    at_halt: Choices = AT_HALT
    wanted: Choices = WANTED


def street_form(form: FormView) -> StreetFormView:
    """The rows of the street that a form has."""
    return StreetFormView(_rows(form, STRETCHES), _rows(form, PLACES))


def route_values(route: Route | None) -> dict[str, tuple[str, ...]]:
    """What stands in the fields of the street; nothing where nobody marches."""
    if route is None:
        return {}
    values = {
        "route.length_m": "" if route.stretches else _number(route.length_m),
        "route.pace_m": _number(route.pace_m),
        "route.steps_per_minute": _number(route.steps_per_minute),
        "route.asked_m_per_minute": _number(route.asked_m_per_minute),
        "route.column_m": _number(route.column_m),
    }
    for row, stretch in enumerate(route.stretches):
        values |= _named(STRETCHES, row, _stretch_values(stretch))
    for row, place in enumerate(route.places):
        values |= _named(PLACES, row, _place_values(place))
    return {name: (text,) for name, text in values.items()}


def _stretch_values(stretch: RouteStretch) -> dict[str, str]:
    return {
        "length_m": _number(stretch.length_m),
        "slope": stretch.slope.value,
        "name": stretch.name,
        "halt_s": _number(stretch.halt_s or None),
        "halt_is_silent": "true" if stretch.halt_is_silent else "",
    }


def _place_values(place: RoutePlace) -> dict[str, str]:
    return {
        "name": place.name,
        "wanted": place.wanted.value,
        "from_m": _number(place.from_m),
        "to_m": _number(place.to_m),
    }


def _named(prefix: str, row: int, values: dict[str, str]) -> dict[str, str]:
    return {f"{prefix}.{row}.{name}": text for name, text in values.items()}


def _rows(form: FormView, prefix: str) -> tuple[RowView, ...]:
    found = (re.match(rf"{re.escape(prefix)}\.(\d+)\.", name) for name in form.values)
    numbers = sorted({int(match[1]) for match in found if match})
    return tuple(RowView(f"{prefix}.{number}", number) for number in numbers)


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:.10g}"
