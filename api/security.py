"""Which requests are let in at all, and what do browsers get told?

Refused before any route runs: a host name that is not ours (so that a page elsewhere cannot pose
as this one), a change that was sent from another site's page, a body that is too large, and from
elsewhere everything but reading the players' pages by their link. Every answer carries the headers
that keep a browser from running anything that is not ours.
"""

from __future__ import annotations

from ipaddress import IPv6Address, ip_address
from urllib.parse import urlsplit

from fastapi import HTTPException, Request
from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from api.errors import Problem, respond
from api.settings import LOOPBACK_NAMES, Settings
from api.sharing import PLAYERS, below_reading_link

SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})

READING_METHODS = frozenset({"GET", "HEAD"})
# By what does a go-between say that it passes a request on for somebody else?
PASSED_ON = ("forwarded", "x-forwarded-for", "x-forwarded-host", "x-real-ip", "via")
STATIC = "/static/"
IS_ELSEWHERE = "is_elsewhere"
"""What a request's state says of a reader who is not at this machine."""

STAYS_HERE = (
    "This page stays on the machine Pacestick runs on: from elsewhere only the players' pages can "
    "be read, by their reading link."
)
NO_CHANGES = "Through the reading link nothing can be changed: ask the pipe-major."
NO_LINK = (
    "This reading link is not valid, or a newer one has taken its place: ask the pipe-major for it."
)

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
        headers = Headers(scope=scope)
        scope = _through_reading_link(scope, headers, self.settings)
        refusal = refusal_of(scope["method"], headers, self.settings) or refusal_elsewhere(scope)
        if refusal is not None:
            await respond(Request(scope), refusal)(scope, receive, tell)
            return
        limited = _limited(receive, self.settings.largest_request_bytes)
        await self.app(scope, limited, tell)


def refusal_of(method: str, headers: Headers, settings: Settings) -> Problem | None:
    """Why a request is not let in; None when it is."""
    host = headers.get("host", "")
    if not _is_our_name(_name_of(f"//{host}"), settings):
        detail = f"This service does not answer to the name “{host}”: use {settings.address}."
        return Problem(421, "Unknown host", detail)
    if method not in SAFE_METHODS and not _is_from_here(headers, host, settings):
        detail = "This change was sent from a page of another site: open the page here and retry."
        return Problem(403, "Sent from elsewhere", detail)
    length = headers.get("content-length", "0")
    if length.isdigit() and int(length) > settings.largest_request_bytes:
        return Problem(413, "Too large", _too_large(settings.largest_request_bytes))
    return None


def refusal_elsewhere(scope: Scope) -> Problem | None:
    """Why a reader elsewhere does not get this; None when they do, and for everybody here."""
    if not scope["state"][IS_ELSEWHERE]:
        return None
    path = str(scope["path"])
    if scope["method"] not in READING_METHODS:
        return Problem(403, "Only for reading", NO_CHANGES)
    link = str(scope.get("root_path", ""))
    inside = path.removeprefix(link)
    is_players = bool(link) and (inside == PLAYERS or inside.startswith(f"{PLAYERS}/"))
    if is_players or path.startswith(STATIC):
        return None
    if path.startswith("/reading") and not link:
        return Problem(403, "No such reading link", NO_LINK)
    return Problem(403, "Not to be read from elsewhere", STAYS_HERE)


def is_at_this_machine(scope: Scope, headers: Headers) -> bool:
    """True when somebody at this machine asks: from a loopback address, for a loopback name.

    The name is looked at too, since a go-between on this machine asks on behalf of others, and
    since a page elsewhere can make its own name lead here.
    """
    client = scope.get("client")
    is_passed_on = any(name in headers for name in PASSED_ON)
    is_named_so = _name_of(f"//{headers.get('host', '')}") in LOOPBACK_NAMES
    return client is not None and _is_loopback(client[0]) and is_named_so and not is_passed_on


def _through_reading_link(scope: Scope, headers: Headers, settings: Settings) -> Scope:
    """The request, with the reading link taken as the place where the service is mounted."""
    link = below_reading_link(scope["path"], settings)
    is_elsewhere = not is_at_this_machine(scope, headers)
    state = {**scope.get("state", {}), IS_ELSEWHERE: is_elsewhere}
    return {**scope, "state": state, **({"root_path": link} if link else {})}


def _is_loopback(address: str) -> bool:
    try:
        number = ip_address(address)
    except ValueError:
        return False
    inside = number.ipv4_mapped if isinstance(number, IPv6Address) else None
    return (inside or number).is_loopback


def _is_our_name(name: str | None, settings: Settings) -> bool:
    """True for our names, and for any number of an open network: numbers cannot be made to lie."""
    if name in settings.known_hosts:
        return True
    return settings.share and name is not None and _is_number(name)


def _is_number(name: str) -> bool:
    try:
        ip_address(name)
    except ValueError:
        return False
    return True


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
