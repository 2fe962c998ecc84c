"""Can this route be marched with these sets? Asked before an event is stored."""

from __future__ import annotations

from api.actions.music import with_music
from api.actions.rules import rulebook_of
from api.storage import sets as stored_sets
from api.storage import tunes as stored_tunes
from api.storage.database import BandId, Session
from planner.errors import RequestError
from planner.event.amounts import plain
from planner.event.event import Event
from planner.event.route import Route, check_route
from planner.event.street.street import StreetItem, street_sums
from planner.event.timetable import time_event


def check_street(session: Session, band: BandId, planned: Event, before: Route | None) -> None:
    """Stop at a route that cannot be marched, or that is over before any set has been played.

    A route that was stored already is left alone: on the day a set may be dropped or made longer,
    and the event says what does not fit.

    Raises:
        RequestError: it names the stretch, the place or the set.
    """
    route = planned.route
    if route is None or route == before:
        return
    check_route(route)
    items = _items(session, band, planned)
    # What lasts until the cue may stop at the end of any part: no route is too short for it.
    sets = [item for item in items if item.is_set and not item.is_open_ended]
    shortest = min(sets, key=lambda item: item.metres, default=None)
    if shortest is not None and shortest.metres > route.length_m:
        raise RequestError(
            "route.length_m",
            f"{plain(route.length_m)} m are over before “{shortest.name}” has been played once, "
            f"which needs {round(shortest.metres)} m",
            "check the length of the route, or choose a shorter set",
        )


def _items(session: Session, band: BandId, planned: Event) -> tuple[StreetItem, ...]:
    """What the running order carries, nothing where it cannot be reckoned with yet."""
    chosen = sorted({int(item.set_key) for item in planned.items if item.set_key})
    if not chosen:
        return ()
    sets = stored_sets.sets_by_number(session, band, chosen)
    played = sorted({int(entry.tune_key) for each in sets.values() for entry in each.entries})
    kept = tuple(stored_tunes.tunes_by_number(session, band, played).values())
    music = with_music(session, band, kept)
    tunes = {each.noun.record.key: each.noun.tune for each in music if each.noun.tune is not None}
    book = rulebook_of(session, band)
    try:
        timetable = time_event(planned, sets, tunes, book)
        street = street_sums(planned, timetable, sets, tunes, book)
    except RequestError:
        return ()  # a tune without music or tempo is told where the event is planned
    return street.items if street else ()
