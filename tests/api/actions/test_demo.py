"""An empty library gets the demo band; a library in use is left alone."""

import tomllib
from pathlib import Path
from typing import Any

import pytest

from api.actions.demo import is_empty, load_demo
from api.actions.events import all_events, one_event
from api.actions.people import add_person, all_people
from api.actions.planning import plan_of_event
from api.actions.sets import all_sets
from api.actions.tunes import titles_of_tunes
from api.settings import seed_data_dir
from api.storage.database import BandId, Database, Session
from planner.errors import NotationError
from planner.event.event import Instrument, Person

BAND = BandId(1)


@pytest.fixture
def told() -> dict[str, Any]:
    """What the seed data says, read without our own loader."""
    return tomllib.loads((seed_data_dir() / "band.toml").read_text(encoding="utf-8"))


def test_everything_the_seed_data_tells_is_stored(session: Session, told: dict[str, Any]) -> None:
    assert load_demo(session, BAND, seed_data_dir())
    tunes = {title for _, title in titles_of_tunes(session, BAND)}
    assert tunes == {tune["title"] for tune in told["tune"]}
    people = {kept.noun.name for kept in all_people(session, BAND)}
    assert people == {person["name"] for person in told["person"]}
    sets = {(kept.noun.number, len(kept.noun.entries)) for kept in all_sets(session, BAND)}
    assert sets == {(each["number"], len(each["entry"])) for each in told["set"]}


def test_every_event_has_the_line_up_it_was_told(session: Session, told: dict[str, Any]) -> None:
    load_demo(session, BAND, seed_data_dir())
    said = {event["name"]: event["line_up"] for event in told["event"]}
    for kept in all_events(session, BAND):
        line_up, record = said[kept.noun.name], one_event(session, BAND, kept.id).noun
        assert len(record.line_up.people) == len(line_up["people"])
        assert len(record.line_up.outs) == len(line_up["outs"])
        answers = len(line_up["people"]) + len(line_up["maybe"]) + len(line_up["no"])
        assert len(record.answers) == answers


def test_every_event_of_the_demo_band_can_be_planned(session: Session) -> None:
    load_demo(session, BAND, seed_data_dir())
    for kept in all_events(session, BAND):
        plan = plan_of_event(session, BAND, kept.id)
        assert plan.planned.sets
        assert all(each.tune.bars_played for s in plan.planned.sets for each in s.entries)


def test_a_library_that_holds_a_person_is_left_alone(session: Session) -> None:
    add_person(session, BAND, Person("", "Ada Brook", Instrument.PIPES))
    assert not load_demo(session, BAND, seed_data_dir())
    assert titles_of_tunes(session, BAND) == ()


def test_a_demo_band_that_cannot_be_read_leaves_the_library_empty(
    database: Database, tmp_path: Path
) -> None:
    (tmp_path / "bad.abc").write_text("no music", encoding="utf-8")
    (tmp_path / "band.toml").write_text(
        '[band]\nname = "A"\n[[person]]\nkey = "a"\nname = "Ada"\ninstrument = "pipes"\n'
        '[[tune]]\nkey = "b"\ntitle = "B"\nfile = "bad.abc"\n',
        encoding="utf-8",
    )
    with database.writing() as session, pytest.raises(NotationError, match=r"bad\.abc"):
        load_demo(session, BAND, tmp_path)
    with database.reading() as session:
        assert is_empty(session, BAND)
