"""The form of an event: a new one, and one that is changed."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from fastapi.responses import Response

from api.actions import day
from api.actions import events as act
from api.actions.band import the_band
from api.actions.sets import all_sets
from api.display.choices import CIRCUMSTANCES, DRUMS, KINDS, RUNGS
from api.display.form import FormView
from api.display.pages.events import event_form, item_rows, item_values, set_choices
from api.display.pages.street_form import PLACES, STRETCHES, street_form
from api.display.words import counted, sentence_start
from api.routes.event_forms import EventForm
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.rows import DO, arranged, filled_rows, is_arranging
from api.routes.pages.typed import Typed, TypedDep
from api.routes.pages.visit import Visit, VisitDep
from planner.event.event import Event, Item
from planner.event.route import Slope, Wanted

router = LaterRouter(prefix="/events")

NEW = "/events/new"
NEW_PAGE, EDIT_PAGE = "pages/event_new.html", "pages/event_edit.html"
FIELDS = (
    "name", "day", "setting.occasion", "setting.drums", "setting.control.rung",
    "setting.control.measured_sd_ms", "setting.circumstances", "clock.meet", "clock.tune_up",
    "clock.step_off", "clock.end", "route.length_m", "route.pace_m", "route.steps_per_minute",
    "route.asked_m_per_minute", "route.column_m", STRETCHES, PLACES, "route",
    "loudness.level_dba", "loudness.where", "answers_by", "items", "add_set", "add_text",
)  # fmt: skip
STREET_LISTS = ("do_stretches", "do_places")
# What a new row of the street starts with; it alone does not make a row of it.
NEW_STRETCH = {"slope": (Slope.LEVEL.value,)}
NEW_PLACE = {"wanted": (Wanted.SOUNDING.value,)}


@router.get("/new")
def new_event(visit: VisitDep) -> Response:
    """The form of a new event."""
    form = FormView(NEW, {"setting.occasion": (KINDS[0][0],), "setting.drums": (DRUMS[0][0],)})
    return visit.show(NEW_PAGE, form=form, **_around(visit, form))


@router.post("/new")
def add_event(visit: VisitDep, typed: TypedDep) -> Response:
    """Store a new event, or only do what the button of the running order says."""
    done = _with_rows(_with_added(typed))
    form = done.form(NEW)
    around = _around(visit, form)
    if is_arranging(done, DO, *STREET_LISTS):
        return visit.show(NEW_PAGE, form=form, **around)
    visit.expects(NEW_PAGE, form, FIELDS, **around)
    kept = act.add_event(visit.session, visit.band, checked(done))
    return visit.go(f"/events/{kept.id}", "added")


@router.get("/{number}/edit")
def edit_event(number: RowNumber, visit: VisitDep) -> Response:
    """The form of an event."""
    kept = act.one_event(visit.session, visit.band, number)
    form = event_form(kept.noun.event, f"/events/{number}/edit", kept.version)
    return visit.show(EDIT_PAGE, form=form, **_around_one(visit, form, kept.noun.event))


@router.post("/{number}/edit")
def change_event(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Change an event; its running order stays, it has a page of its own.

    A button of the street only shows the form again: a new row is still empty.
    """
    address = f"/events/{number}"
    done = _with_rows(typed)
    form = done.form(f"{address}/edit", address)
    before = act.one_event(visit.session, visit.band, number).noun.event
    around = _around_one(visit, form, before)
    if is_arranging(done, *STREET_LISTS):
        return visit.show(EDIT_PAGE, form=form, **around)
    visit.expects(EDIT_PAGE, form, FIELDS, **around)
    planned, seen = checked(done), done.seen_version()
    changed = replace(planned, key=str(number), items=before.items)
    day.change_event(visit.session, visit.band, number, seen, changed)
    return visit.go(address, "saved")


@router.post("/{number}/delete")
def remove_event(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Take an event off the list."""
    act.remove_event(visit.session, visit.band, number, typed.seen_version())
    return visit.go("/events", "removed")


def checked(typed: Typed) -> Event:
    """What was typed, checked."""
    tree = typed.tree()
    setting = tree.setdefault("setting", {})
    occasion, _, sort = setting.get("occasion", "").partition(":")
    setting |= {"occasion": occasion, "sort": sort or None}
    setting["circumstances"] = typed.all("setting.circumstances")
    tree["items"] = filled_rows(typed, "items")
    _plant_street(tree, typed)
    if "level_dba" not in tree.get("loudness", {}):
        tree.pop("loudness", None)  # a place without a level says nothing
    wanted = set(EventForm.model_fields) & set(tree)
    return EventForm.model_validate({key: tree[key] for key in wanted}).planned()


def _with_rows(typed: Typed) -> Typed:
    """The form with the buttons of the street done."""
    stretches, places = STREET_LISTS
    done = arranged(typed, STRETCHES, NEW_STRETCH, stretches)
    return arranged(done, PLACES, NEW_PLACE, places)


def _plant_street(tree: dict[str, Any], typed: Typed) -> None:
    """The rows of the street in the tree of what was typed; a street needs more than a choice."""
    street = tree.setdefault("route", {})
    street["stretches"] = _said_rows(typed, STRETCHES, ("slope", "halt_is_silent"))
    street["places"] = _said_rows(typed, PLACES, ("wanted",))
    if not any(street.values()):
        tree.pop("route")


def _said_rows(typed: Typed, prefix: str, choices: tuple[str, ...]) -> list[dict[str, Any]]:
    """The rows in which something was written, not only chosen."""
    return [row for row in filled_rows(typed, prefix) if set(row) - set(choices)]


def _with_added(typed: Typed) -> Typed:
    """The form with its button done; what was chosen to be added stands at the end."""
    item = Item(typed.text("add_set"), "" if typed.text("add_set") else typed.text("add_text"))
    is_new = bool(item.set_key or item.text)
    new = {name: (text,) for name, text in item_values(item).items()} if is_new else {}
    done = arranged(_adding(typed) if is_new and not typed.text("do") else typed, "items", new)
    is_used = is_new and (done.text("do") == "add")
    return done.with_values({**done.values, "add_set": (), "add_text": ()}) if is_used else done


def _adding(typed: Typed) -> Typed:
    return typed.with_values({**typed.values, "do": ("add",)})


def _around(visit: Visit, form: FormView) -> dict[str, Any]:
    """Everything on the page of a new event beside what was typed."""
    sets = set_choices(kept.noun for kept in all_sets(visit.session, visit.band))
    return {**_choices(visit, form), "sets": sets, "rows": item_rows(form, sets)}


def _around_one(visit: Visit, form: FormView, event: Event) -> dict[str, Any]:
    """Everything in the form of an event beside what was typed."""
    said = sentence_start(f"{counted(len(event.items), 'item')}.") if event.items else ""
    order = said or "Nothing is in it yet."
    return {**_choices(visit, form), "name": event.name, "order_said": order}


def _choices(visit: Visit, form: FormView) -> dict[str, Any]:
    band = the_band(visit.session, visit.band).noun
    return {
        "kinds": KINDS,
        "drums": DRUMS,
        "rungs": RUNGS,
        "circumstances": CIRCUMSTANCES,
        "street": street_form(form),
        "pace_hint": f"The band's own is {band.pace_m:g} m" if band.pace_m else "Such as 0.762",
        "rate_hint": (
            f"The band's own is {band.steps_per_minute:g}"
            if band.steps_per_minute
            else "Such as 86"
        ),
    }
