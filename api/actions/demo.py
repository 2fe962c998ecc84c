"""How does an empty library get the demo band?

``band.toml`` of the seed data speaks of tunes, sets and people by short names; here they become
rows. All of it is stored, or nothing. A library that holds anything is left alone.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from api.actions.attachments import check_attachment
from api.actions.own_rulesets import as_stored
from api.actions.reading import read_music, refuse_music
from api.actions.shelf import shelve
from api.storage import band as stored_band
from api.storage import events as stored_events
from api.storage import own_rules as stored_rules
from api.storage import people as stored_people
from api.storage import readiness as stored_readiness
from api.storage import sets as stored_sets
from api.storage import tunes as stored_tunes
from api.storage.convert import metre_from_text
from api.storage.database import BandId, Session
from api.storage.event_tables import EventRow
from api.storage.records import Answer, BandRecord, NewFile, Outline, TuneRecord
from api.storage.rows import count_rows
from api.storage.tables import PersonRow, SetRow, TuneRow
from planner.event.contest.own_rulesets import read_ruleset
from planner.event.event import (
    SORTS_BY_OCCASION,
    Arrangements,
    Attack,
    Circumstance,
    Clock,
    Control,
    CutOff,
    Drums,
    Entry,
    Event,
    Familiarity,
    Instrument,
    Item,
    Occasion,
    Person,
    Set,
    Setting,
    Sort,
    Weight,
)
from planner.event.route import Route, RoutePlace, RouteStretch, Slope, Wanted
from planner.music.tune import Credits

Table = Mapping[str, Any]
Keys = dict[str, str]
"""The key of a row by the short name the file uses."""

MOST_BYTES = 2_000_000


def load_demo(session: Session, band: BandId, folder: Path) -> bool:
    """Fill an empty library with the band of a folder; False when it holds something already.

    Raises:
        NotationError, RefusedMusicError: a tune of the folder cannot be read.
    """
    if not is_empty(session, band):
        return False
    told = tomllib.loads((folder / "band.toml").read_text(encoding="utf-8"))
    _name_band(session, band, told["band"])
    people = {each["key"]: _add_person(session, band, each) for each in told["person"]}
    tunes = {each["key"]: _add_tune(session, band, each, folder) for each in told["tune"]}
    sets = {each["key"]: _add_set(session, band, each, tunes) for each in told["set"]}
    _write_learnt(session, band, told.get("learnt", ()), people, tunes)
    for each in told["event"]:
        _add_event(session, band, each, sets, people, tunes)
    for each in told.get("ruleset", ()):
        _add_ruleset(session, band, each)
    shelve(session, band)
    session.commit()
    return True


def _add_ruleset(session: Session, band: BandId, told: Table) -> None:
    said = {name: value for name, value in told.items() if name != "set_by"}
    stored_rules.keep_own_rule(session, band, as_stored(read_ruleset(said), told["set_by"]), None)


def is_empty(session: Session, band: BandId) -> bool:
    """True when the band has no tune, set, person or event."""
    return not any(
        count_rows(session, kind, band) for kind in (TuneRow, SetRow, PersonRow, EventRow)
    )


def _name_band(session: Session, band: BandId, told: Table) -> None:
    record = BandRecord(
        told["name"], told.get("place", ""), told.get("steps_per_minute"), told.get("pace_m")
    )
    stored_band.change_band(session, band, None, record)


def _add_person(session: Session, band: BandId, told: Table) -> str:
    member = Person(
        key="",
        name=told["name"],
        instrument=Instrument(told["instrument"]),
        is_learner=told.get("is_learner", False),
        rung=told.get("rung"),
        role=told.get("role", ""),
    )
    return stored_people.add_person(session, band, member).noun.key


def _add_tune(session: Session, band: BandId, told: Table, folder: Path) -> str:
    music = _file(folder, told.get("file"), "text/vnd.abc")
    scan = _file(folder, told.get("scan"), "")
    if music is not None:
        refuse_music(music.name, read_music(music, MOST_BYTES))
    record = TuneRecord(
        key="",
        title=told["title"],
        idiom=told.get("idiom"),
        tempo_bpm=told.get("tempo_bpm"),
        tonal_centre=told.get("tonal_centre", ""),
        tags=tuple(Occasion(tag) for tag in told.get("tags", ())),
        credits=Credits(composer=told.get("composer", "")),
        permission=told.get("permission", ""),
        standard_setting=told.get("standard_setting", ""),
        outline=_outline(told.get("outline")),
    )
    attachment = check_attachment(scan) if scan else None
    return stored_tunes.add_tune(session, band, record, music, attachment).noun.key


def _file(folder: Path, name: str | None, media_type: str) -> NewFile | None:
    if name is None:
        return None
    path = folder / name
    return NewFile(path.name, media_type, path.read_bytes())


def _outline(told: Table | None) -> Outline | None:
    if told is None:
        return None
    parts = tuple((bars, times) for bars, times in told["parts"])
    return Outline(metre_from_text(told["metre"]), parts)


def _write_learnt(
    session: Session, band: BandId, told: Iterable[Table], people: Keys, tunes: Keys
) -> None:
    """Write down who has learnt what: a later line goes before an earlier one."""
    learnt: dict[str, dict[str, str]] = {}
    for each in told:
        chosen = {tunes[key]: each["level"] for key in each.get("tunes", tunes)}
        for who in each["who"]:
            learnt.setdefault(people[who], {}).update(chosen)
    for person, levels in learnt.items():
        stored_readiness.change_readiness(session, band, int(person), None, levels)


def _add_set(session: Session, band: BandId, told: Table, tunes: Keys) -> str:
    entries = tuple(_entry(entry, tunes) for entry in told["entry"])
    planned = Set(
        key="",
        number=told["number"],
        name=told["name"],
        entries=entries,
        occasion=Occasion(told["occasion"]) if "occasion" in told else None,
        times_through=told.get("times_through", 1),
        introduction_beats=told.get("introduction_beats"),
        ruleset=told.get("ruleset", ""),
        dance=told.get("dance", ""),
        steps=tuple(told.get("steps", ())),
        weight=Weight(told["weight"]) if "weight" in told else None,
        familiarity=Familiarity(told["familiarity"]) if "familiarity" in told else None,
    )
    return stored_sets.add_set(session, band, planned).noun.key


def _entry(told: Table, tunes: Keys) -> Entry:
    said = {**told, "tune_key": tunes[told["tune_key"]]}
    for name, words in (("attack", Attack), ("cut_off", CutOff)):
        said |= {name: words(told[name])} if name in told else {}
    for name in ("parts", "part_times"):
        said |= {name: tuple(told[name])} if name in told else {}
    return Entry(**said)


def _add_event(
    session: Session, band: BandId, told: Table, sets: Keys, people: Keys, tunes: Keys
) -> None:
    planned = Event(
        key="",
        name=told["name"],
        setting=_setting(told),
        day=told.get("day"),
        clock=Clock(**told.get("clock", {})),
        items=tuple(_item(item, sets) for item in told.get("item", ())),
        route=_route(told["route"]) if "route" in told else None,
        arrangements=Arrangements(**told.get("arrangements", {})),
    )
    number = stored_events.add_event(session, band, planned).id
    line_up = told.get("line_up", {})
    stored_events.change_line_up(
        session,
        band,
        number,
        None,
        _answers(line_up, people),
        _pairs(line_up.get("outs", ()), people, tunes),
        _pairs(line_up.get("harmony", ()), people, tunes),
    )


def _setting(told: Table) -> Setting:
    occasion = Occasion(told["occasion"])
    return Setting(
        occasion=occasion,
        sort=Sort(told["sort"]) if "sort" in told else SORTS_BY_OCCASION[occasion][0],
        drums=Drums(told.get("drums", "full")),
        control=Control(told.get("rung"), told.get("measured_sd_ms")),
        circumstances=tuple(Circumstance(word) for word in told.get("circumstances", ())),
    )


def _route(told: Table) -> Route:
    stretches = (
        RouteStretch(**{**each, "slope": Slope(each.get("slope", "level"))})
        for each in told.get("stretch", ())
    )
    places = (
        RoutePlace(**{**each, "wanted": Wanted(each["wanted"])}) for each in told.get("place", ())
    )
    plain = {name: value for name, value in told.items() if name not in ("stretch", "place")}
    return Route(**plain, stretches=tuple(stretches), places=tuple(places))


def _item(told: Table, sets: Keys) -> Item:
    set_key = sets[told["set_key"]] if "set_key" in told else ""
    return Item(**{**told, "set_key": set_key})


def _answers(line_up: Table, people: Keys) -> list[Answer]:
    said = (("people", "yes"), ("maybe", "maybe"), ("no", "no"))
    return [
        Answer(people[name], answer) for table, answer in said for name in line_up.get(table, ())
    ]


def _pairs(told: Any, people: Keys, tunes: Keys) -> frozenset[tuple[str, str]]:
    return frozenset((people[person], tunes[tune]) for person, tune in told)
