"""The events as calendars (RFC 5545): all of them, or one."""

from __future__ import annotations

from fastapi.responses import Response

from api.actions.band import the_band
from api.actions.events import all_events, one_event
from api.actions.records import BandId, Kept, Session
from api.dependencies import BandDep, SessionDep, SettingsDep
from api.display.documents.calendar import DatedEvent, calendar_text
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.settings import Settings
from api.sharing import reading_address
from planner.errors import RequestError
from planner.event.event import Event

CALENDAR = "text/calendar; charset=utf-8"

feed = LaterRouter()
router = LaterRouter(prefix="/events")


@feed.get("/events.ics")
def all_as_calendar(session: SessionDep, band: BandDep, settings: SettingsDep) -> Response:
    """Every event that has a day."""
    return _calendar(session, band, settings, all_events(session, band))


@router.get("/{number}.ics")
def one_as_calendar(
    number: RowNumber, session: SessionDep, band: BandDep, settings: SettingsDep
) -> Response:
    """One event."""
    kept = one_event(session, band, number)
    if kept.noun.event.day is None:
        raise RequestError("day", f"“{kept.noun.event.name}” has no day yet", "set its day first")
    one = Kept(kept.id, kept.version, kept.changed_at, kept.noun.event)
    return _calendar(session, band, settings, (one,))


def _calendar(
    session: Session, band: BandId, settings: Settings, events: tuple[Kept[Event], ...]
) -> Response:
    name = the_band(session, band).noun.name
    address = reading_address(settings) or settings.address
    dated = [
        DatedEvent(kept.noun, kept.version, kept.changed_at, f"{address}/events/{kept.id}")
        for kept in events
    ]
    return Response(calendar_text(name, band, dated), media_type=CALENDAR)
