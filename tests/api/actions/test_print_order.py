from fastapi.testclient import TestClient

from api.actions.print_order import settings_without_permission, take_order
from api.storage.database import Database
from planner.event.event import Instrument
from tests.api.library import ANY, a_person, a_set, an_event, march, upload


def a_tune(client: TestClient, title: str, permission: str = "") -> str:
    return str(upload(client, march(title), permission=permission).json()[0]["key"])


def order_of(client: TestClient, event: str):
    database: Database = client.app.state.database
    with database.reading() as session:
        return take_order(session, database.home_band(), int(event))


def test_settings_without_a_permission_note_are_asked_about_once(client: TestClient) -> None:
    noted = a_tune(client, "The Wicker Gate", "free to copy")
    bare = a_tune(client, "Mill Street in May")
    event = an_event(client, a_set(client, noted, bare, bare))
    database = client.app.state.database
    with database.reading() as session:
        asked = settings_without_permission(session, database.home_band(), int(event))
    assert asked == ("Mill Street in May",)
    assert order_of(client, event).unpermitted == {bare}


def test_who_has_not_decided_is_counted_by_instrument(client: TestClient) -> None:
    event = an_event(client, a_set(client, a_tune(client, "The Wicker Gate")))
    answers = [
        {"person_key": a_person(client, "Perrin Oxgate"), "answer": "maybe"},
        {"person_key": a_person(client, "Tibb Mossley", "snare"), "answer": "no"},
    ]
    form = {"answers": answers}
    client.put(f"/api/events/{event}/line-up", json=form, headers=ANY).raise_for_status()
    maybe = order_of(client, event).planned.maybe
    assert maybe[Instrument.PIPES] == 1
    assert maybe[Instrument.SNARE] == 0


def test_the_street_is_reckoned_where_there_is_one(client: TestClient) -> None:
    tunes = a_set(client, a_tune(client, "The Wicker Gate"))
    route = {"length_m": 1524, "pace_m": 0.762, "steps_per_minute": 100}
    street = order_of(client, an_event(client, tunes, route=route)).planned.street
    assert street is not None
    # 1524 m in paces of 0.762 m are 2000 paces, at 100 a minute 20 minutes
    assert round(street.cover.walking_minutes, 6) == 20
    assert order_of(client, an_event(client, tunes)).planned.street is None


def test_cautions_come_from_the_rule_book(client: TestClient) -> None:
    assert "hearing" in order_of(client, an_event(client)).planned.cautions
