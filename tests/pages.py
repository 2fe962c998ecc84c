"""Every page there is, with an address to try it at: one list for all the tests of pages.

``tests/api/pages/test_every_page.py`` walks the routes, so a page without a line here fails.
"""

from collections.abc import Iterable, Iterator
from typing import Any

from api.routes import pages

ALWAYS = (
    "/", "/events", "/events/new", "/sets", "/sets/new", "/tunes", "/tunes/new",
    "/tunes/new/outline", "/people", "/people/new", "/people/readiness", "/people/lists", "/rules",
    "/about", "/style", "/players",
    "/rules/thresholds.gracenote.length", "/rules/occasions.parade.own_band.within_beat",
    "/rules/cautions.heat", "/rules/contests", "/rules/contests/new", "/rules/dances",
    "/rules/dances/highland-fling", "/rules/dances/sword-dance?steps=2%2B2",
    "/rules/idioms.march.round",
    "/rules?idiom=jig&rung=4&circumstance=learners&circumstance=poor-footing",
)  # fmt: skip
"""Pages that are there in an empty library too."""

OF_THE_DEMO = (
    "/events/1", "/events/2", "/events/3", "/events/4", "/events/1/edit", "/events/1/line-up",
    "/events/1/drums", "/events/3/drums", "/events/3/drums?only=open", "/events/1/people",
    "/events/3/people", "/events/1/answers", "/events/1/day", "/events/2/fill", "/events/1/pack",
    "/events/1/order", "/events/2/order",
    "/events/1/tunes/18", "/events/3/tunes/9", "/events/3/tunes/9?on=parade:own-band",
    "/sets/1", "/sets/1/tunes/2", "/sets/5", "/tunes?words=rain&tag=parade",
    "/tunes/1", "/tunes/18", "/tunes/1/edit",
    "/tunes/18/edit", "/tunes/9/occasions", "/tunes/9/drum-score",
    "/people/1", "/people/1/readiness", "/rules/contests/1",
    "/players/3", "/players/3/events/1", "/players/events/1", "/players/3/events/1/tunes/18",
    "/players/3/events/3/tunes/9",
)  # fmt: skip
"""Pages that show something of the demo band."""

NO_PAGES = {
    "/events/{number}/pack/progress": "a stream of how far a pack is, read by a script",
    "/events/{number}/pack/files/{name:path}": "a sheet of a finished pack, as PDF",
    "/players/choose/{person}": "remembers who I am and leads on",
    "/players/worker.js": "a script",
    "/events/{number}/sets": "the sets to choose from, a piece of a page a script puts in place",
    "/sets/tunes": "the tunes to choose from, a piece of a page that a script puts in place",
}
"""What is looked at beside pages, without an ending in its address to tell it by."""
FILES = (".abc", ".ics", ".mid", ".musicxml", ".pdf", ".zip")


def page_routes() -> list[str]:
    """The paths of every page, as the routes write them: ``/tunes/{number}``."""
    routers = [pages.router, *(pages.pages_below(room) for room in pages.ROOMS)]
    looked_at = {path for router in routers for path in _looked_at(router.routes)}
    return sorted(path for path in looked_at if path not in NO_PAGES and not path.endswith(FILES))


def _looked_at(routes: Iterable[Any]) -> Iterator[str]:
    for route in routes:
        inner = getattr(route, "original_router", None)  # the framework keeps routers as they were
        if inner is not None:
            yield from _looked_at(inner.routes)
        elif "GET" in route.methods:
            yield route.path
