"""The pages of sets: the list, a new one, and one with its tunes in order."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from fastapi.responses import Response

from api.actions import sets as act
from api.actions.records import Kept
from api.actions.rules import rulebook_of
from api.actions.tunes import all_tunes
from api.display.choices import OCCASIONS
from api.display.form import FormView
from api.display.sets import (
    dance_choices,
    entry_rows,
    entry_values,
    ruleset_choices,
    set_form,
    set_line,
    set_view,
    tune_choices,
)
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.rows import arranged, filled_rows
from api.routes.pages.typed import Typed, TypedDep
from api.routes.pages.visit import Visit, VisitDep
from api.routes.set_forms import SetForm
from planner.event.dance import all_dances, read_steps
from planner.event.event import SORTS_BY_OCCASION, Entry, Occasion, Set, Setting
from planner.event.joins import Join, judge_joins, neighbour
from planner.event.rulesets import all_rulesets
from planner.event.timetable import SetTimetable, time_set
from planner.music.tune import Tune
from planner.plan import chosen_idiom, chosen_tempo
from planner.rules.rulebook import RuleBook

router = LaterRouter(prefix="/sets")

NEW = "/sets/new"
FIELDS = (
    "number", "name", "occasion", "times_through", "introduction_beats", "ruleset", "dance",
    "weight", "familiarity",
)  # fmt: skip
ALL_FIELDS = (*FIELDS, "steps", "entries", "add")


@dataclass(frozen=True, slots=True)
class Library:
    """The tunes that a set can be made of, and the rules its length hangs on."""

    titles: tuple[tuple[str, str], ...]
    tunes: dict[str, Tune]
    centres: dict[str, str]
    rules: RuleBook


@router.get("")
def sets(visit: VisitDep) -> Response:
    """Every set with its tunes and its length."""
    library = _library(visit)
    titles = dict(library.titles)
    lines = [
        set_line(kept.noun, titles, _timed(kept.noun, library))
        for kept in act.all_sets(visit.session, visit.band)
    ]
    return visit.show("pages/sets.html", lines=lines)


@router.get("/new")
def new_set(visit: VisitDep) -> Response:
    """The form of a new set."""
    taken = [kept.noun.number for kept in act.all_sets(visit.session, visit.band)]
    form = FormView(NEW, {"number": (str(max(taken, default=0) + 1),), "times_through": ("1",)})
    library = _library(visit)
    return visit.show("pages/set_new.html", form=form, **_choices(library))


@router.post("/new")
def add_set(visit: VisitDep, typed: TypedDep) -> Response:
    """A new set, with its first tune if one was chosen."""
    visit.expects("pages/set_new.html", typed.form(NEW), ALL_FIELDS, **_choices(_library(visit)))
    rules = rulebook_of(visit.session, visit.band)
    planned = checked(_with_added(typed)).planned()
    kept = act.add_set(visit.session, visit.band, planned, rules)
    return visit.go(f"/sets/{kept.id}", "added")


@router.get("/{number}")
def one_set(number: RowNumber, visit: VisitDep) -> Response:
    """A set: its length, and its tunes in order, each with its tempo and its lines."""
    kept = act.one_set(visit.session, visit.band, number)
    form = set_form(kept.noun, f"/sets/{number}", kept.version)
    return visit.show("pages/set.html", form=form, **_around(kept, form, _library(visit)))


@router.post("/{number}")
def change_set(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Change a set: what was typed is kept, and the button pressed is done."""
    address = f"/sets/{number}"
    kept = act.one_set(visit.session, visit.band, number)
    done = _with_added(typed)
    form, library = done.form(address, address), _library(visit)
    visit.expects("pages/set.html", form, ALL_FIELDS, **_around(kept, form, library))
    planned, seen = checked(done).planned(str(number)), typed.seen_version()
    act.change_set(visit.session, visit.band, number, seen, planned, library.rules)
    return visit.go(address, "saved")


@router.post("/{number}/delete")
def remove_set(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Take a set out of the library."""
    act.remove_set(visit.session, visit.band, number, typed.seen_version())
    return visit.go("/sets", "removed")


def checked(typed: Typed) -> SetForm:
    """What was typed, checked."""
    entries = [_entry(row) for row in filled_rows(typed, "entries")]
    fields = {name: typed.text(name) for name in FIELDS if typed.text(name)}
    steps = read_steps(typed.text("steps"))[0] if typed.text("steps") else ()
    return SetForm.model_validate({**fields, "steps": steps, "entries": entries})


def _entry(row: dict[str, Any]) -> dict[str, Any]:
    parts = str(row.pop("parts", "")).replace(",", " ").split()
    return {**row, "parts": parts}


def _with_added(typed: Typed) -> Typed:
    """The form with its button done; a tune that was chosen to be added stands at the end."""
    chosen = typed.text("add")
    new = {name: (text,) for name, text in entry_values(Entry(chosen)).items()} if chosen else {}
    values = {**typed.values, "do": (typed.text("do") or ("add" if chosen else ""),)}
    done = arranged(typed.with_values(values), "entries", new)
    return done.with_values({**done.values, "add": ()})


def _library(visit: Visit) -> Library:
    kept = all_tunes(visit.session, visit.band)
    return Library(
        titles=tuple((each.noun.record.key, each.noun.record.title) for each in kept),
        tunes={each.noun.record.key: each.noun.tune for each in kept if each.noun.tune},
        centres={each.noun.record.key: each.noun.record.tonal_centre for each in kept},
        rules=rulebook_of(visit.session, visit.band),
    )


def _choices(library: Library) -> dict[str, Any]:
    return {
        "occasions": (("", "any occasion"), *OCCASIONS),
        "dances": dance_choices(all_dances(library.rules)),
        "rulesets": ruleset_choices(all_rulesets(library.rules)),
        "tunes": tune_choices(library.titles),
    }


def _around(kept: Kept[Set], form: FormView, library: Library) -> dict[str, Any]:
    """Everything on a set's page beside the form: it is that of the set as stored."""
    timetable = _timed(kept.noun, library)
    is_as_stored = len(kept.noun.entries) == sum(name.endswith(".tune_key") for name in form.values)
    return {
        "view": set_view(kept.noun, kept.version, timetable),
        "rows": entry_rows(
            form,
            library.tunes,
            timetable if is_as_stored else None,
            _joins(kept.noun, library) if is_as_stored else (),
        ),
        **_choices(library),
    }


def _timed(a_set: Set, library: Library) -> SetTimetable | None:
    """How long a set lasts; None where a tune has no music to reckon with."""
    if any(entry.tune_key not in library.tunes for entry in a_set.entries):
        return None
    occasion = a_set.occasion or Occasion.EXHIBITION
    setting = Setting(occasion, SORTS_BY_OCCASION[occasion][0])
    return time_set(a_set, library.tunes, library.rules, setting)


def _joins(a_set: Set, library: Library) -> tuple[Join, ...]:
    if any(entry.tune_key not in library.tunes for entry in a_set.entries):
        return ()
    neighbours = [
        neighbour(
            library.tunes[entry.tune_key],
            _bpm(entry, library),
            library.centres.get(entry.tune_key, ""),
        )
        for entry in a_set.entries
    ]
    return judge_joins(neighbours, library.rules)


def _bpm(entry: Entry, library: Library) -> float:
    tune = library.tunes[entry.tune_key]
    idiom = chosen_idiom(tune, library.rules)
    return chosen_tempo(tune, idiom, library.rules, entry.tempo_bpm).bpm
