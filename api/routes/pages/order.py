"""The page of a running order: its items in order, each with its time, and the sets to add."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import Query
from fastapi.responses import HTMLResponse, Response
from pydantic import Field

from api.actions import order as act
from api.actions.timed import TimedEvent, findings_of, joins_between, street_of, timed_event
from api.display.drawing.route import route_figure
from api.display.drawing.timeline import timeline_figure
from api.display.form import FormView
from api.display.pages.events import item_values
from api.display.pages.order import OrderView, Reckoned, order_length, order_rows, order_sums
from api.display.pages.pick import PickView, pick_sets
from api.display.planned import setting_words
from api.display.remedies import Nouns, mended_at
from api.display.street import strip_of
from api.routes.event_forms import ItemForm
from api.routes.form import Form, RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.building import (
    chosen,
    keys_typed,
    page_wanted,
    place_after,
    words_looked_for,
)
from api.routes.pages.looking import Word
from api.routes.pages.rows import arranged, filled_rows
from api.routes.pages.typed import Typed, TypedDep
from api.routes.pages.visit import Visit, VisitDep
from api.templating import render
from planner.errors import RequestError
from planner.event.event import Item
from planner.event.street.street import StreetSums

router = LaterRouter(prefix="/events")

PAGE = "pages/order.html"
FIELDS = ("items", "words", "add_text")
PageNumber = Annotated[int, Query(ge=1, le=100_000)]


class OrderForm(Form):
    """The items of a running order, from the first to the last."""

    items: Annotated[tuple[ItemForm, ...], Field(max_length=100)] = ()

    def planned(self) -> tuple[Item, ...]:
        """The items as the engine knows them."""
        return tuple(Item(**dict(item)) for item in self.items)


@router.get("/{number}/order")
def order(number: RowNumber, visit: VisitDep, words: Word = "", page: PageNumber = 1) -> Response:
    """A running order by the clock, and the sets that can be added."""
    timed = timed_event(visit.session, visit.band, number)
    form = _form_of(timed)
    pick, undo = _pick(visit, words, page), act.last_change(visit.session, number)
    return visit.show(PAGE, form=form, pick=pick, **_around(timed, form, undo))


@router.post("/{number}/order")
def change_order(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Change a running order: what was typed is kept, and the button pressed is done."""
    address, words, page = f"/events/{number}/order", words_looked_for(typed), page_wanted(typed)
    done = _with_added(typed)
    timed = timed_event(visit.session, visit.band, number, keys_typed(done, "set_key"))
    form, pick = done.form(address, address), _pick(visit, words, page)
    if typed.text("do") == "undo":
        _undo(visit, timed, typed)
        return visit.go(address, "undone", words=words)
    undo = act.last_change(visit.session, number)
    visit.expects_later(PAGE, form, FIELDS, lambda: {"pick": pick, **_around(timed, form, undo)})
    items, before = checked(done), timed.kept.noun.event.items
    names = {key: each.name for key, each in timed.sets.items()}
    change = act.change_of_items(before, items, names)
    seen = typed.seen_version()
    act.change_order(visit.session, visit.band, number, seen, items, change)
    more = {"page": str(page) if page > 1 else ""}
    return visit.go(address, "saved", place_after(typed), words=words, **more)


@router.get("/{number}/sets")
def sets_to_add(
    number: RowNumber, visit: VisitDep, words: Word = "", page: PageNumber = 1
) -> Response:
    """The sets that can be added, as a piece of the page: what a script puts there."""
    return HTMLResponse(render("fragments/found.html", pick=_pick(visit, words, page)))


def checked(typed: Typed) -> tuple[Item, ...]:
    """What was typed, checked."""
    return OrderForm.model_validate({"items": filled_rows(typed, "items")}).planned()


def _with_added(typed: Typed) -> Typed:
    """The form with its button done; the set whose button was pressed, or the words, at the end.

    Words that are typed are added by the button that saves as well, so that they are not lost.
    """
    key = chosen(typed)
    words = typed.text("add_text") if typed.text("do") in ("", "add") else ""
    new = item_values(Item(key, "" if key else words)) if key or words else {}
    pressed = typed.with_values({**typed.values, "do": ("add",)}) if words else typed
    done = arranged(pressed, "items", {name: (text,) for name, text in new.items()})
    return done.with_values({**done.values, "add_text": ()}) if words else done


def _undo(visit: Visit, timed: TimedEvent, typed: Typed) -> None:
    """Take back what is typed and not saved; when that is nothing, the last change."""
    try:
        is_as_stored = checked(typed) == timed.kept.noun.event.items
    except (ValueError, RequestError):
        is_as_stored = False  # what cannot be kept is taken back too
    if is_as_stored:
        act.undo_order(visit.session, visit.band, timed.kept.id, typed.seen_version())


def _form_of(timed: TimedEvent) -> FormView:
    address = f"/events/{timed.kept.id}/order"
    values = {
        f"items.{row}.{name}": (text,)
        for row, item in enumerate(timed.kept.noun.event.items)
        for name, text in item_values(item).items()
    }
    return FormView(address, values, version=str(timed.kept.version), newer=address)


def _pick(visit: Visit, words: str, page: int) -> PickView:
    found, count = act.find_sets(visit.session, visit.band, words, page)
    lines = [
        (each.key, f"{each.number} {each.name}", each.occasion.words if each.occasion else "")
        for each in found
    ]
    return pick_sets(lines, count, words, page, act.A_FEW)


def _around(timed: TimedEvent, form: FormView, undo: str | None) -> dict[str, Any]:
    """Everything on the page beside the form: it is that of the running order as stored."""
    event = timed.kept.noun.event
    view = OrderView(
        address=f"/events/{timed.kept.id}",
        name=event.name,
        occasion=setting_words(event.setting),
        sums=order_sums(event, timed.timetable),
        length=order_length(timed.timetable),
        problem=timed.problem,
        findings=mended_at(
            findings_of(timed),
            f"/events/{timed.kept.id}",
            Nouns({each.name: key for key, each in timed.sets.items()}),
        ),
        undo="" if undo is None else f"Undo {undo or 'the last change'}",
        state=f"Saved, version {timed.kept.version}",
    )
    typed = [form.value(name) for name in form.values if name.endswith(".set_key")]
    is_as_stored = typed == [item.set_key for item in event.items]
    street = street_of(timed)
    return {
        "view": view,
        "rows": _rows(timed, form, street if is_as_stored else None, is_as_stored=is_as_stored),
        "day": timeline_figure(event.clock, timed.timetable, _numbers(timed)),
        "route": route_figure(strip_of(street), _numbers_by_name(timed)) if street else None,
    }


def _numbers(timed: TimedEvent) -> list[str]:
    items = timed.kept.noun.event.items
    return [str(timed.sets[item.set_key].number) for item in items if item.set_key]


def _numbers_by_name(timed: TimedEvent) -> dict[str, str]:
    return {each.name: str(each.number) for each in timed.sets.values()}


def _rows(
    timed: TimedEvent, form: FormView, street: StreetSums | None, *, is_as_stored: bool
) -> Any:
    told = Reckoned(
        timetable=timed.timetable if is_as_stored else None,
        joins=joins_between(timed) if is_as_stored else (),
        street=street.items if street else (),
    )
    return order_rows(form, timed.sets, timed.titles, told)
