"""``pacestick serve``: the service on this machine."""

from __future__ import annotations

import gc
import os
import socket
import sys
from pathlib import Path
from typing import Annotated

import typer
import uvicorn

from api.settings import Settings
from api.sharing import (
    WHO_READS_WHAT,
    keep_reading_key,
    new_reading_key,
    reading_address,
)
from planner.errors import RequestError

LOOPBACK = "127.0.0.1"
# How long may an answer that is being given still take when the service is stopped?
LAST_WORDS_S = 5
EVERYWHERE = "0.0.0.0"


def serve_command(
    host: Annotated[str | None, typer.Option("--host", help="Address to listen on.")] = None,
    port: Annotated[
        int | None, typer.Option("--port", min=0, max=65535, help="Port to listen on.")
    ] = None,
    data: Annotated[
        Path | None, typer.Option("--data", help="Folder of the library; made when missing.")
    ] = None,
    demo: Annotated[
        bool, typer.Option("--demo", help="Fill an empty library with the demo band.")
    ] = False,
    share: Annotated[
        bool,
        typer.Option("--share", help="Let others read the players' pages, by a link with a key."),
    ] = False,
    new_link: Annotated[
        bool, typer.Option("--new-link", help="Make a new reading link; the old one ends.")
    ] = False,
) -> None:
    """Serve the pages and the JSON interface until stopped."""
    asked = {"HOST": host, "PORT": port, "DATA_DIR": data, "DEMO": demo or None}
    asked["SHARE"] = share or None
    # The options become the environment's settings, so that the server process reads them there
    # and no other command has to load the web framework.
    os.environ.update({f"PACESTICK_{n}": str(v) for n, v in asked.items() if v is not None})
    settings = open_to_others(Settings())
    if new_link:
        new_reading_key(settings.data_dir)
    # Start-up makes many objects and throws none away, so looking for rubbish only costs time; the
    # service turns it on again when it is open.
    gc.disable()
    listening = [listen(host, settings.port) for host in hosts_of(settings)]
    for line in where_it_is(settings):
        typer.echo(line)
    sys.stdout.flush()
    config = uvicorn.Config(
        "api.app:app_from_environment",
        factory=True,
        host=settings.host,
        port=settings.port,
        log_level="warning",
        timeout_graceful_shutdown=LAST_WORDS_S,
        proxy_headers=False,  # who asks is told from where they ask, not from what they say
    )
    uvicorn.Server(config).run(sockets=listening)


def open_to_others(settings: Settings) -> Settings:
    """The settings, on every address of this machine if it is to share and nobody says where.

    Raises:
        RequestError: others could reach the service and nobody said that they may read.
    """
    if settings.share and settings.is_loopback and not settings.public_address:
        os.environ["PACESTICK_HOST"] = EVERYWHERE
        return Settings()
    if not settings.share and not settings.is_loopback:
        raise RequestError(
            "host",
            f"others can reach {settings.host}",
            "add --share to let them read the players' pages, or leave --host out",
        )
    return settings


def hosts_of(settings: Settings) -> tuple[str, ...]:
    """The addresses to listen on: changes are made on loopback, so it is always one of them."""
    if settings.is_loopback or settings.host == EVERYWHERE:
        return (settings.host,)
    return (LOOPBACK, settings.host)


def listen(host: str, port: int) -> socket.socket:
    """A socket that listens.

    Raises:
        RequestError: the address is not this machine's, or somebody listens there already.
    """
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    try:
        return socket.create_server((host, port), family=family, backlog=2048)
    except OSError as error:
        raise RequestError(
            "port",
            f"nothing can listen on {host}, port {port} ({os.strerror(error.errno or 0).lower()})",
            "choose another with --port or --host",
        ) from None


def where_it_is(settings: Settings) -> list[str]:
    """What is printed at the start: where to go, and who elsewhere can read what."""
    if not settings.share:
        return [f"Pacestick is at {settings.address} (stop with Ctrl-C)"]
    keep_reading_key(settings.data_dir)
    here = settings.host if settings.is_loopback else LOOPBACK
    return [
        f"Pacestick is at http://{here}:{settings.port} on this machine (stop with Ctrl-C)",
        f"Reading link for the players: {reading_address(settings)}",
        WHO_READS_WHAT,
    ]
