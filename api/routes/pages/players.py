"""The players' own pages: choose me, my events, my card, my music.

They are the only pages that can be read from elsewhere, below a reading link, and nothing can be
changed on them: the choice of who I am is remembered by the browser. ``base`` is where they lie
for this reader: ``/players``, or the same below the link.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated

from fastapi import Cookie, Query
from fastapi.responses import FileResponse, RedirectResponse, Response

from api.actions.events import events_to_come, one_event
from api.actions.people import all_people, one_person
from api.actions.planning import EventPlan, plan_of_event, sets_to_play
from api.actions.records import NotFoundError
from api.display.pages.player import my_music_view, player_view
from api.display.pages.players import choose_view, my_days_view
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.static_files import stamp
from api.routes.pages.visit import Visit, VisitDep
from api.sharing import PLAYERS, WHO_READS_WHAT, reading_address
from api.templating import static_folder
from planner.event.event import Event, Person

router = LaterRouter(prefix=PLAYERS)

ME = "me"
A_YEAR_S = 365 * 24 * 3600
MOST_EVENTS = 12
Remembered = Annotated[str, Cookie(alias=ME, max_length=12)]


@router.get("")
def players(
    visit: VisitDep, choose: Annotated[str, Query(max_length=10)] = "", me: Remembered = ""
) -> Response:
    """Who am I? Whoever has said so on this device goes on to their own page."""
    everybody = [kept.noun for kept in all_people(visit.session, visit.band)]
    if not choose and any(person.key == me for person in everybody):
        return visit.go(f"{base_of(visit)}/{me}")
    return _choice(visit, everybody)


@router.get("/worker.js")
def worker(visit: VisitDep) -> FileResponse:
    """The script that keeps these pages on the device; it has a say over no others."""
    return FileResponse(
        static_folder() / "js" / "players-worker.js",
        media_type="text/javascript",
        headers={"Service-Worker-Allowed": base_of(visit)},
    )


@router.get("/choose/{person}")
def choose_me(
    person: RowNumber,
    visit: VisitDep,
    event: Annotated[int | None, Query(gt=0, lt=2**31)] = None,
) -> RedirectResponse:
    """That is me: this device remembers it, for these pages only."""
    one_person(visit.session, visit.band, person)
    base = base_of(visit)
    answer = visit.go(f"{base}/{person}/events/{event}" if event else f"{base}/{person}")
    answer.set_cookie(ME, str(person), max_age=A_YEAR_S, path=base, httponly=True, samesite="lax")
    return answer


@router.get("/events/{number}")
def event_of_mine(number: RowNumber, visit: VisitDep, me: Remembered = "") -> Response:
    """Where the code on a sheet leads: my card for that event, once I have said who I am."""
    event = one_event(visit.session, visit.band, number).noun.event
    everybody = [kept.noun for kept in all_people(visit.session, visit.band)]
    if any(person.key == me for person in everybody):
        return visit.go(f"{base_of(visit)}/{me}/events/{number}")
    return _choice(visit, everybody, event)


@router.get("/{person}")
def my_days(person: RowNumber, visit: VisitDep) -> Response:
    """My events to come: when, where, and what I do there."""
    kept = one_person(visit.session, visit.band, person)
    ahead = events_to_come(visit.session, visit.band, date.today(), MOST_EVENTS)
    days = [(each.noun.event, each.noun.line_up) for each in ahead]
    view = my_days_view(kept.noun, days, base_of(visit))
    return visit.show("pages/my_days.html", view=view, keeping=_keeping(visit))


@router.get("/{person}/events/{number}")
def player(person: RowNumber, number: RowNumber, visit: VisitDep) -> Response:
    """My card: what I play, my outs, my harmony, start and stop, times and places."""
    plan = plan_of_event(visit.session, visit.band, number)
    view = player_view(plan.planned, _reader(visit, plan, person), base_of(visit))
    return visit.show("pages/player.html", view=view, keeping=_keeping(visit))


@router.get("/{person}/events/{number}/tunes/{tune}")
def my_music(person: RowNumber, number: RowNumber, tune: RowNumber, visit: VisitDep) -> Response:
    """The music of one tune with this event's marks."""
    plan = plan_of_event(visit.session, visit.band, number)
    entries = [each for played in sets_to_play(plan) for each in played.entries]
    found = next((each for each in entries if each.entry.tune_key == str(tune)), None)
    if found is None:
        raise NotFoundError("tune in this event with the number", tune)
    view = my_music_view(plan.planned, found, _reader(visit, plan, person), base_of(visit))
    return visit.show("pages/my_music.html", view=view, keeping=_keeping(visit))


def base_of(visit: Visit) -> str:
    """Where the players' pages lie for this reader."""
    return f"{visit.request.scope.get('root_path', '')}{PLAYERS}"


def _choice(visit: Visit, everybody: list[Person], event: Event | None = None) -> Response:
    is_reader = bool(visit.request.scope.get("root_path"))
    link = "" if is_reader else reading_address(visit.settings)
    view = choose_view(everybody, base_of(visit), event, link, WHO_READS_WHAT)
    return visit.show("pages/players.html", view=view, keeping=_keeping(visit))


def _reader(visit: Visit, plan: EventPlan, person: int) -> Person:
    playing = {each.key: each for each in plan.planned.line_up.people}
    return playing.get(str(person)) or one_person(visit.session, visit.band, person).noun


def _keeping(visit: Visit) -> dict[str, str]:
    """What the page needs to be kept on the device: the worker, and the pages it has a say over."""
    base = base_of(visit)
    return {"worker": f"{base}/worker.js?stamp={stamp()}", "scope": base}
