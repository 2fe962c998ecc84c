"""Which answer does each error get?

One table maps error classes to a status and a title; no route catches anything. Below ``/api/`` an
error is a problem document (RFC 9457); elsewhere ``app.state.error_page(request, problem)`` draws a
page, once the pages have registered one. The sentence is the error's own.
"""

from __future__ import annotations

import logging
import secrets
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from http import HTTPStatus
from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, Response
from pydantic import ValidationError
from starlette.exceptions import HTTPException

from api.actions.faults import (
    NotToBePrintedError,
    RefusedMusicError,
    RefusedRowsError,
    SeveralTunesError,
    TooLargeError,
    WrongKindError,
)
from api.storage.faults import (
    DatabaseBusyError,
    DatabaseRefusedError,
    InUseError,
    NotFoundError,
    StaleError,
)
from planner.errors import (
    EngravingError,
    NotationError,
    PacestickError,
    RequestError,
    RulebookError,
    WorkerError,
)

PROBLEM_TYPE = "application/problem+json"
logger = logging.getLogger("pacestick")


class VersionMissingError(PacestickError):
    """A change came without saying which version it was made from."""

    def __init__(self) -> None:
        super().__init__(
            "The request does not say which version was seen: send the ETag as If-Match."
        )


@dataclass(frozen=True, slots=True)
class Problem:
    """What went wrong, for a person and for a program. ``errors`` names the fields."""

    status: int
    title: str
    detail: str
    errors: tuple[Mapping[str, str], ...] = ()
    more: Mapping[str, Any] = field(default_factory=dict)
    headers: Mapping[str, str] = field(default_factory=dict)


ErrorPage = Callable[[Request, Problem], Response]

# Which status and title does an error get? The nearest class of the error counts.
ANSWERS: dict[type[Exception], tuple[int, str]] = {
    NotFoundError: (404, "Not found"),
    InUseError: (409, "Still in use"),
    NotToBePrintedError: (409, "Not ready to print"),
    StaleError: (412, "Changed meanwhile"),
    TooLargeError: (413, "Too large"),
    WrongKindError: (415, "Wrong kind of file"),
    NotationError: (422, "The music cannot be read"),
    RefusedMusicError: (422, "The music cannot be stored"),
    RefusedRowsError: (422, "The list cannot be taken in"),
    SeveralTunesError: (422, "Several tunes"),
    RequestError: (422, "A value makes no sense"),
    RulebookError: (422, "The rule makes no sense"),
    VersionMissingError: (428, "Version missing"),
    WorkerError: (503, "Not ready in time"),
    EngravingError: (500, "The music cannot be drawn"),
}


def answer_errors(app: FastAPI) -> None:
    """Let an app answer every error in its one way."""
    app.add_exception_handler(PacestickError, _on_own_error)
    app.add_exception_handler(RequestValidationError, _on_bad_input)
    app.add_exception_handler(ValidationError, _on_bad_input)
    app.add_exception_handler(HTTPException, _on_http_error)
    app.add_exception_handler(DatabaseBusyError, _on_busy_database)
    app.add_exception_handler(DatabaseRefusedError, _on_refusal_of_database)
    app.add_exception_handler(Exception, _on_fault)


def respond(request: Request, problem: Problem) -> Response:
    """A problem as a document for programs, or as a page for people."""
    draw: ErrorPage | None = getattr(request.app.state, "error_page", None)
    if draw is not None and not request.url.path.startswith("/api/"):
        return draw(request, problem)
    document = {
        "type": "about:blank",
        "title": problem.title,
        "status": problem.status,
        "detail": problem.detail,
        **({"errors": list(problem.errors)} if problem.errors else {}),
        **problem.more,
    }
    return JSONResponse(
        document, problem.status, headers=dict(problem.headers), media_type=PROBLEM_TYPE
    )


def problem_of(error: PacestickError) -> Problem:
    """The problem an error of our own stands for."""
    kind = next(kind for kind in type(error).__mro__ if kind in ANSWERS or kind is PacestickError)
    status, title = ANSWERS.get(kind, (422, "Not possible"))
    return Problem(status, title, str(error), _fields(error), _more(error), _headers(error))


def field_errors(errors: Sequence[Any]) -> tuple[Mapping[str, str], ...]:
    """Each fault of a form as the field's name and one sentence."""
    return tuple(_field_error(each) for each in errors)


def _fields(error: PacestickError) -> tuple[Mapping[str, str], ...]:
    if isinstance(error, RequestError):
        return ({"field": error.field, "detail": str(error)},)
    if isinstance(error, RefusedRowsError):
        return tuple(
            {"field": f"row {row.number}", "detail": f"row {row.number}, {row.sentence}"}
            for row in error.rows
        )
    if isinstance(error, NotationError | RefusedMusicError | SeveralTunesError | WrongKindError):
        return ({"field": "file", "detail": str(error)},)
    return ()


def _more(error: PacestickError) -> Mapping[str, Any]:
    if isinstance(error, StaleError):
        return {"newest_version": error.newest}
    if isinstance(error, SeveralTunesError):
        return {"tunes": [{"number": t.number, "title": t.title} for t in error.tunes]}
    if isinstance(error, RefusedMusicError):
        findings = [(f.code, f.text, f.where, f.gravity.value) for f in error.findings]
        words = ("code", "text", "where", "gravity")
        return {"findings": [dict(zip(words, each, strict=True)) for each in findings]}
    return {}


def _headers(error: PacestickError) -> Mapping[str, str]:
    if isinstance(error, StaleError) and error.newest:
        return {"ETag": f'"{error.newest}"'}
    if isinstance(error, WorkerError):
        return {"Retry-After": "5"}
    return {}


def _field_error(error: Mapping[str, Any]) -> Mapping[str, str]:
    where = [str(step) for step in error["loc"] if step not in ("body", "query", "path", "form")]
    name = ".".join(where) or "request"
    said = str(error["msg"]).removeprefix("Value error, ")
    said = said.replace("Input should", "should").rstrip(".")
    given = error.get("input")
    is_short = isinstance(given, str | int | float) and len(str(given)) <= 40
    seen = f" (it was {given!r})" if is_short else ""
    return {"field": name, "detail": f"{name}: {said[0].lower()}{said[1:]}{seen}."}


def _on_own_error(request: Request, error: Exception) -> Response:
    if not isinstance(error, PacestickError):
        raise error
    return respond(request, problem_of(error))


def _on_bad_input(request: Request, error: Exception) -> Response:
    if not isinstance(error, RequestValidationError | ValidationError):
        raise error
    errors = field_errors(error.errors())
    first = errors[0]["detail"] if errors else "The input makes no sense."
    rest = f" ({len(errors) - 1} more below)" if len(errors) > 1 else ""
    return respond(request, Problem(422, "The input makes no sense", first + rest, errors))


def _on_http_error(request: Request, error: Exception) -> Response:
    if not isinstance(error, HTTPException):
        raise error
    title = HTTPStatus(error.status_code).phrase
    detail = error.detail if error.detail != title else _plain_words(error.status_code, request)
    problem = Problem(error.status_code, title, detail, headers=dict(error.headers or {}))
    return respond(request, problem)


def _plain_words(status: int, request: Request) -> str:
    if status == HTTPStatus.NOT_FOUND:
        return f"There is nothing at {request.url.path}: check the address."
    if status == HTTPStatus.METHOD_NOT_ALLOWED:
        return f"{request.method} is not possible at {request.url.path}."
    return f"{HTTPStatus(status).phrase}."


def _on_busy_database(request: Request, error: Exception) -> Response:
    logger.error("the database did not answer: %s", error)
    detail = "The library could not be reached just now; nothing was changed: try again."
    return respond(request, Problem(503, "Library busy", detail, headers={"Retry-After": "2"}))


def _on_refusal_of_database(request: Request, error: Exception) -> Response:
    logger.warning("the database refused a change: %s", error)
    detail = "Something else in the library needs this; nothing was changed: look again."
    return respond(request, Problem(409, "Still in use", detail))


def _on_fault(request: Request, error: Exception) -> Response:
    number = secrets.token_hex(4)
    logger.error("fault %s at %s", number, request.url.path, exc_info=error)
    detail = f"This is a fault of ours, not yours; nothing was changed. Quote number {number}."
    return respond(request, Problem(500, "Fault", detail, more={"number": number}))
