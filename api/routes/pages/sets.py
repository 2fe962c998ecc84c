"""The pages of sets: the list, a new one, and one with its tunes in order."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import Query
from fastapi.responses import HTMLResponse, Response

from api.actions import sets as act
from api.actions.band import the_band
from api.actions.changes import change_of_set
from api.actions.records import Kept
from api.actions.rules import rulebook_of
from api.actions.set_sums import (
    joins_of_set,
    music_of,
    music_of_sets,
    problem_of_set,
    time_of_set,
)
from api.actions.shelf import A_FEW, look_for
from api.display.choices import OCCASIONS
from api.display.drawing.set_path import path_figure
from api.display.form import FormView
from api.display.pages.pick import PickView, pick_view
from api.display.pages.set_entered import entered_words
from api.display.pages.sets import (
    dance_choices,
    entry_rows,
    entry_values,
    ruleset_choices,
    set_form,
    set_line,
    set_view,
)
from api.display.turn import turn_view
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.building import chosen, is_looking, page_wanted, place_after
from api.routes.pages.looking import Looked, Word, on_shelf
from api.routes.pages.rows import arranged, filled_rows
from api.routes.pages.typed import Typed, TypedDep
from api.routes.pages.visit import Visit, VisitDep
from api.routes.set_forms import SetForm
from api.templating import render
from planner.errors import RequestError
from planner.event.contest.rulesets import all_rulesets
from planner.event.dance import all_dances, read_steps
from planner.event.event import Entry, Set
from planner.event.played_parts import read_parts
from planner.rules.rulebook import RuleBook

router = LaterRouter(prefix="/sets")

NEW = "/sets/new"
FIELDS = (
    "number", "name", "occasion", "times_through", "introduction_beats", "ruleset", "dance",
    "weight", "familiarity",
)  # fmt: skip
ALL_FIELDS = (*FIELDS, "steps", "entries", "words")
PageNumber = Annotated[int, Query(ge=1, le=100_000)]


@router.get("")
def sets(visit: VisitDep, page: PageNumber = 1) -> Response:
    """The sets with their tunes and lengths, a page at a time."""
    kept, total = act.page_of_sets(visit.session, visit.band, page)
    music = music_of_sets(visit.session, visit.band, [each.noun for each in kept])
    lines = [set_line(each.noun, music.titles, time_of_set(each.noun, music)) for each in kept]
    around = turn_view("/sets", {}, page, -(-total // act.AT_ONCE))
    return visit.show("pages/sets.html", lines=lines, around=around, is_empty=not total)


@router.get("/tunes")
def tunes_to_add(visit: VisitDep, words: Word = "", page: PageNumber = 1) -> Response:
    """The tunes that can be added, as a piece of the page: what a script puts there."""
    return HTMLResponse(render("fragments/found.html", pick=_pick(visit, words, page)))


@router.get("/new")
def new_set(visit: VisitDep, words: Word = "", page: PageNumber = 1) -> Response:
    """The form of a new set."""
    number = act.next_number(visit.session, visit.band)
    form = FormView(NEW, {"number": (str(number),), "times_through": ("1",)})
    rules = rulebook_of(visit.session, visit.band)
    pick = _pick(visit, words, page)
    return visit.show("pages/set_new.html", form=form, pick=pick, **_choices(rules))


@router.post("/new")
def add_set(visit: VisitDep, typed: TypedDep) -> Response:
    """A new set, with its first tune if one was chosen; or only other tunes to choose from."""
    form, pick = typed.form(NEW), _pick(visit, typed.text("words"), page_wanted(typed))
    rules = rulebook_of(visit.session, visit.band)
    if is_looking(typed):
        return visit.show("pages/set_new.html", form=form, pick=pick, **_choices(rules))
    visit.expects("pages/set_new.html", form, ALL_FIELDS, pick=pick, **_choices(rules))
    kept = act.add_set(visit.session, visit.band, checked(_with_added(typed)).planned(), rules)
    return visit.go(f"/sets/{kept.id}", "added", words=typed.text("words"))


@router.get("/{number}")
def one_set(number: RowNumber, visit: VisitDep, words: Word = "", page: PageNumber = 1) -> Response:
    """A set: its length, and its tunes in order, each with its tempo and its lines."""
    kept = act.one_set(visit.session, visit.band, number)
    form = set_form(kept.noun, f"/sets/{number}", kept.version)
    pick = _pick(visit, words, page)
    return visit.show("pages/set.html", form=form, pick=pick, **_around(visit, kept, form))


@router.post("/{number}")
def change_set(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Change a set: what was typed is kept, and the button pressed is done."""
    address, words, page = f"/sets/{number}", typed.text("words"), page_wanted(typed)
    kept = act.one_set(visit.session, visit.band, number)
    done = _with_added(typed)
    form, pick = done.form(address, address), _pick(visit, words, page)
    around = _around(visit, kept, form)
    if typed.text("do") == "undo":
        _undo(visit, kept, typed)
        return visit.go(address, "undone", words=words)
    visit.expects("pages/set.html", form, ALL_FIELDS, pick=pick, **around)
    planned, seen = checked(done).planned(str(number)), typed.seen_version()
    rules = rulebook_of(visit.session, visit.band)
    titles = {row.key: row.title for row in around["rows"]}
    change = change_of_set(kept.noun, planned, titles)
    act.change_set(visit.session, visit.band, number, seen, planned, rules, change)
    place = place_after(typed)
    return visit.go(address, "saved", place, words=words, page=str(page) if page > 1 else "")


@router.post("/{number}/delete")
def remove_set(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Take a set out of the library."""
    act.remove_set(visit.session, visit.band, number, typed.seen_version())
    return visit.go("/sets", "removed")


def checked(typed: Typed) -> SetForm:
    """What was typed, checked."""
    rows = enumerate(filled_rows(typed, "entries"))
    entries = [_entry(row, f"entries.{place}.parts") for place, row in rows]
    fields = {name: typed.text(name) for name in FIELDS if typed.text(name)}
    steps, bars = read_steps(typed.text("steps")) if typed.text("steps") else ((), None)
    danced = {"steps": steps, "bars_per_step": bars}
    return SetForm.model_validate({**fields, **danced, "entries": entries})


def _entry(row: dict[str, Any], field: str) -> dict[str, Any]:
    parts, times = read_parts(str(row.pop("parts", "")), field)
    return {**row, "parts": parts, "part_times": times}


def _with_added(typed: Typed) -> Typed:
    """The form with its button done; the tune whose button was pressed stands at the end."""
    key = chosen(typed)
    new = {name: (text,) for name, text in entry_values(Entry(key)).items()} if key else {}
    return arranged(typed, "entries", new)


def _undo(visit: Visit, kept: Kept[Set], typed: Typed) -> None:
    """Take back what is typed and not saved; when that is nothing, the last change."""
    try:
        is_as_stored = checked(typed).planned(kept.noun.key) == kept.noun
    except (ValueError, RequestError):
        is_as_stored = False  # what cannot be kept is taken back too
    if is_as_stored:
        act.undo_set(visit.session, visit.band, kept.id, typed.seen_version())


def _pick(visit: Visit, words: str, page: int) -> PickView:
    looking = Looked(words=words[:120]).looking()
    found = look_for(visit.session, visit.band, looking, page, A_FEW)
    return pick_view(on_shelf(found, page, A_FEW), words)


def _choices(rules: RuleBook) -> dict[str, Any]:
    return {
        "occasions": (("", "any occasion"), *OCCASIONS),
        "dances": dance_choices(all_dances(rules)),
        "rulesets": ruleset_choices(all_rulesets(rules)),
    }


def _around(visit: Visit, kept: Kept[Set], form: FormView) -> dict[str, Any]:
    """Everything on a set's page beside the form: it is that of the set as stored."""
    typed = [form.value(name) for name in form.values if name.endswith(".tune_key")]
    keys = {key for key in typed if key.isascii() and key.isdigit() and len(key) < 10}
    keys |= {entry.tune_key for entry in kept.noun.entries}
    music = music_of(visit.session, visit.band, keys)
    timetable = time_of_set(kept.noun, music)
    is_as_stored = [entry.tune_key for entry in kept.noun.entries] == typed
    joins = joins_of_set(kept.noun, music) if is_as_stored else ()
    return {
        "view": set_view(
            kept.noun,
            kept.version,
            timetable,
            the_band(visit.session, visit.band).noun.pace_m,
            act.last_change(visit.session, kept.id),
        ),
        "entered": entered_words(kept.noun, timetable, music.tunes, music.rules),
        "problem": problem_of_set(kept.noun, music),
        "path": path_figure(timetable, music.tunes, music.centres, joins_of_set(kept.noun, music)),
        "rows": entry_rows(form, music.tunes, timetable if is_as_stored else None, joins),
        **_choices(music.rules),
    }
