"""``pacestick serve``: the service on this machine."""

from __future__ import annotations

import gc
import os
from pathlib import Path
from typing import Annotated

import typer
import uvicorn

from api.settings import Settings


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
) -> None:
    """Serve the pages and the JSON interface until stopped."""
    asked = {"HOST": host, "PORT": port, "DATA_DIR": data, "DEMO": demo or None}
    # The options become the environment's settings, so that the server process reads them there
    # and no other command has to load the web framework.
    os.environ.update({f"PACESTICK_{n}": str(v) for n, v in asked.items() if v is not None})
    settings = Settings()
    # Start-up makes many objects and throws none away, so looking for rubbish only costs time; the
    # service turns it on again when it is open.
    gc.disable()
    typer.echo(f"Pacestick is at {settings.address} (stop with Ctrl-C)")
    uvicorn.run(
        "api.app:app_from_environment",
        factory=True,
        host=settings.host,
        port=settings.port,
        log_level="warning",
    )
