"""Which requests are let in at all, and what do browsers get told?

Refused before any route runs: a host name that is not ours (so that a page elsewhere cannot pose
as this one), a change that was sent from another site's page, a body that is too large. Every
answer carries the headers that keep a browser from running anything that is not ours.
"""

from __future__ import annotations

from urllib.parse import urlsplit

from fastapi import HTTPException, Request
from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from api.errors import Problem, respond
from api.settings import Settings

SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})

HEADERS = {
    "Content-Security-Policy": (
        "default-src 'self'; base-uri 'none'; form-action 'self'; "
        "frame-ancestors 'none'; object-src 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    # Kept by the browser, but asked for again each time: a changed card is never shown old.
    "Cache-Control": "private, no-cache",
}


class Guard:
    """The door of the service."""

    def __init__(self, app: ASGIApp, settings: Settings) -> None:
        self.app = app
        self.settings = settings

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or answer it here."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        tell = _with_headers(send)
        refusal = refusal_of(scope["method"], Headers(scope=scope), self.settings)
        if refusal is not None:
            await respond(Request(scope), refusal)(scope, receive, tell)
            return
        limited = _limited(receive, self.settings.largest_request_bytes)
        await self.app(scope, limited, tell)


def refusal_of(method: str, headers: Headers, settings: Settings) -> Problem | None:
    """Why a request is not let in; None when it is."""
    host = headers.get("host", "")
    known = settings.known_hosts
    if known and _name_of(f"//{host}") not in known:
        detail = f"This service does not answer to the name “{host}”: use {settings.address}."
        return Problem(421, "Unknown host", detail)
    if method not in SAFE_METHODS and not _is_from_here(headers, host, settings):
        detail = "This change was sent from a page of another site: open the page here and retry."
        return Problem(403, "Sent from elsewhere", detail)
    length = headers.get("content-length", "0")
    if length.isdigit() and int(length) > settings.largest_request_bytes:
        return Problem(413, "Too large", _too_large(settings.largest_request_bytes))
    return None


def _is_from_here(headers: Headers, host: str, settings: Settings) -> bool:
    """True for our own pages, and for programs, which send neither of the two headers."""
    site = headers.get("sec-fetch-site")
    if site is not None:
        return site in ("same-origin", "none")
    origin = headers.get("origin")
    if origin is None:
        return True
    ours = {host, urlsplit(settings.address).netloc}
    return bool(origin) and urlsplit(origin).netloc in ours


def _name_of(address: str) -> str | None:
    try:
        return urlsplit(address).hostname
    except ValueError:
        return None


def _too_large(limit: int) -> str:
    return f"The request is larger than {limit / 1e6:g} MB: send a smaller file."


def _limited(receive: Receive, limit: int) -> Receive:
    """Stop reading a body that grows beyond the limit, whatever length it claimed."""
    taken = 0

    async def take() -> Message:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > limit:
            raise HTTPException(413, _too_large(limit))
        return message

    return take


def _with_headers(send: Send) -> Send:
    async def tell(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
        await send(message)

    return tell
