"""What does every page need? Who visits, what they see, where they go next.

``VisitDep`` is the session, the band and the way to show a page or go to another. A page with a
form says with ``expects`` how it looks when what was typed is refused; the one table of errors
then decides whether it is shown.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Annotated
from urllib.parse import urlencode, urlsplit

from fastapi import Depends, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from api.actions.band import the_band
from api.actions.records import BandId, Database, Session
from api.dependencies import BandDep, SessionDep, settings_of
from api.display.chrome import ChromeView, chrome, reader_chrome
from api.display.form import FormView, Refusal, refused_form
from api.errors import Problem
from api.routes.pages.static_files import static_address
from api.security import IS_ELSEWHERE
from api.settings import Settings
from api.sharing import PLAYERS
from api.templating import render

Again = Callable[[Refusal], Response]


@dataclass(frozen=True, slots=True)
class Visit:
    """One visit to one page."""

    request: Request
    session: Session
    band: BandId
    settings: Settings

    def show(self, template: str, status: int = 200, **views: object) -> HTMLResponse:
        """The page, filled in."""
        return fill_in(self.request, template, self.band_name(), status, **views)

    def band_name(self) -> str:
        """The band's name, fetched aside: a session for changing must not take its lock for it."""
        database: Database = self.request.app.state.database
        with database.reading() as session:
            return the_band(session, self.band).noun.name

    def go(self, address: str, said: str = "", place: str = "", **asked: str) -> RedirectResponse:
        """Off to another page after a change, so that a reload changes nothing again.

        ``place`` is the id of what the page is to show first; ``asked`` is what it is asked for.
        """
        told = {name: words for name, words in {"said": said, **asked}.items() if words}
        query = f"?{urlencode(told)}" if told else ""
        anchor = f"#{place}" if place else ""
        return RedirectResponse(f"{address}{query}{anchor}", status_code=303)

    def expects(
        self, template: str, form: FormView, fields: Iterable[str] = (), **views: object
    ) -> None:
        """Say how the form is shown again, should what was typed be refused.

        ``fields`` are the fields of the page beside those that were sent. The page is drawn when
        the session is closed, so everything on it is fetched now.
        """
        self.expects_later(template, form, fields, lambda: views)

    def expects_later(
        self,
        template: str,
        form: FormView,
        fields: Iterable[str],
        views: Callable[[], Mapping[str, object]],
    ) -> None:
        """The same, with what is on the page worked out only if it is shown again.

        ``views`` may ask the database nothing: the session is closed by then.
        """
        name = self.band_name()
        known = {*form.values, *fields}

        def draw(refusal: Refusal) -> Response:
            again = refused_form(form, refusal, known)
            return fill_in(self.request, template, name, refusal.status, form=again, **views())

        self.request.state.again = draw


def visit(request: Request, session: SessionDep, band: BandDep) -> Visit:
    """The visit of this request."""
    return Visit(request, session, band, settings_of(request))


VisitDep = Annotated[Visit, Depends(visit)]


def fill_in(
    request: Request, template: str, band: str, status: int = 200, **views: object
) -> HTMLResponse:
    """A template with the surroundings of every page."""
    around = _around(request, band)
    html = render(template, chrome=around, static=static_address, **views)
    return HTMLResponse(html, status)


def _around(request: Request, band: str) -> ChromeView:
    link = request.scope.get("root_path", "")
    if link or getattr(request.state, IS_ELSEWHERE, False):
        return reader_chrome(band, f"{link}{PLAYERS}" if link else "")
    return chrome(band, request.url.path, request.query_params.get("said", ""))


def draw_problem(request: Request, problem: Problem) -> Response:
    """A problem for people: the form they sent, as they sent it, or a plain page."""
    again: Again | None = getattr(request.state, "again", None)
    if again is not None:
        return again(refusal_of(problem))
    back = _page_before(request)
    page = fill_in(request, "errors/problem.html", "", problem.status, problem=problem, back=back)
    page.headers.update(problem.headers)
    return page


def refusal_of(problem: Problem) -> Refusal:
    """A problem in the words of a form."""
    return Refusal(
        status=problem.status,
        sentence=problem.detail,
        faults=tuple((fault["field"], fault["detail"]) for fault in problem.errors),
        newest_version=str(problem.more.get("newest_version", "")),
    )


def _page_before(request: Request) -> str:
    """The path of our own page that led here; empty text when none did."""
    before = urlsplit(request.headers.get("referer", ""))
    is_ours = before.netloc == request.headers.get("host") and before.path.startswith("/")
    return before.path if is_ours and not before.path.startswith("//") else ""
