"""``pacestick serve``: the service on this machine."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer
import uvicorn

from api.app import create_app
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
    settings = Settings()
    asked = {"host": host, "port": port, "data_dir": data, "demo": demo or None}
    settings = settings.model_copy(update={n: v for n, v in asked.items() if v is not None})
    typer.echo(f"Pacestick is at {settings.address} (stop with Ctrl-C)")
    uvicorn.run(create_app(settings), host=settings.host, port=settings.port, log_level="warning")
