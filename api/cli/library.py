"""``pacestick backup``, ``restore``, ``export`` and ``import``: the library as a whole."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated

import typer

from api.actions.library import (
    back_up_library,
    export_library,
    import_library,
    restore_library,
)
from api.cli.plan import JsonOption
from api.cli.sheet import write_file
from api.settings import Settings
from api.storage.database import Database
from api.storage.library import open_library
from planner.errors import RequestError

DataOption = Annotated[Path | None, typer.Option("--data", help="Folder of the library.")]
ReplaceOption = Annotated[
    bool, typer.Option("--replace", help="Do it although the library holds something.")
]


def backup_command(
    out: Annotated[Path, typer.Option("--out", help="The new file for the copy.")],
    data: DataOption = None,
    as_json: JsonOption = False,
) -> None:
    """Copy the whole library, also while the service runs."""
    with _library(data) as database:
        size = back_up_library(database, out)
    _say(as_json, f"{out}: {size} bytes", file=str(out), bytes=size)


def restore_command(
    file: Annotated[Path, typer.Argument(help="A file made by backup.")],
    data: DataOption = None,
    replace: ReplaceOption = False,
    as_json: JsonOption = False,
) -> None:
    """Put a copy in place of the library."""
    with _library(data) as database:
        restore_library(database, file, replace)
    _say(as_json, f"{file} is the library now", file=str(file), restored=True)


def export_command(
    out: Annotated[Path, typer.Option("--out", help="Where to write the zip file.")],
    data: DataOption = None,
    as_json: JsonOption = False,
) -> None:
    """Write everything into one zip: a JSON document, and the files beside it."""
    with _library(data) as database:
        content = export_library(database)
    write_file(out, content)
    _say(as_json, f"{out}: {len(content)} bytes", file=str(out), bytes=len(content))


def import_command(
    file: Annotated[Path, typer.Argument(help="A zip file made by export.")],
    data: DataOption = None,
    replace: ReplaceOption = False,
    as_json: JsonOption = False,
) -> None:
    """Put an exported library in place of this one: all of it, or nothing."""
    try:
        content = file.read_bytes()
    except OSError as error:
        raise RequestError(
            "file", f"{file} cannot be read", "name a file made by export"
        ) from error
    with _library(data) as database:
        count = import_library(database, content, replace)
    _say(as_json, f"{file}: {count} rows are in the library", file=str(file), rows=count)


@contextmanager
def _library(data: Path | None) -> Iterator[Database]:
    settings = Settings() if data is None else Settings(data_dir=data)
    database = open_library(settings.address_of_database, settings.band_name)
    try:
        yield database
    finally:
        database.close()


def _say(as_json: bool, sentence: str, **told: object) -> None:
    typer.echo(json.dumps(told) if as_json else sentence)
