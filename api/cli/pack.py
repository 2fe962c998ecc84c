"""``pacestick pack``: every sheet of a stored event in one zip file."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Annotated

import typer

from api.actions.events import all_events
from api.actions.pack import PackWish, print_pack
from api.actions.print_order import settings_without_permission
from api.actions.sheets import Wish
from api.cli.plan import JsonOption
from api.cli.sheet import write_file
from api.settings import PrintFormat, Settings
from api.sharing import reading_address
from api.storage.database import BandId, Database
from api.storage.library import open_library
from planner.errors import RequestError


def pack_command(
    event: Annotated[str, typer.Argument(help="The event, by its number or its name.")],
    out: Annotated[Path, typer.Option("--out", help="Where to write the zip file.")],
    data: Annotated[Path | None, typer.Option("--data", help="Folder of the library.")] = None,
    paper: Annotated[PrintFormat | None, typer.Option(help="The paper in the printer.")] = None,
    as_json: JsonOption = False,
) -> None:
    """Print every sheet of a stored event into one zip file."""
    settings = Settings() if data is None else Settings(data_dir=data)
    database = open_library(settings.address_of_database, settings.band_name)
    try:
        band = database.home_band()
        number = event_number(database, band, event)
        with database.reading() as session:
            unnoted = settings_without_permission(session, band, number)
        for title in unnoted:
            typer.echo(f"No permission is on file for copying {title}: ask its owner.", err=True)
        wish = Wish(paper or settings.paper, address=reading_address(settings))
        wanted = PackWish(wish, settings.noticeboard_names_outs)
        content = print_pack(database, band, number, wanted, None if as_json else _progress)
    finally:
        database.close()
    write_file(out, content)
    said = {"file": str(out), "bytes": len(content)}
    typer.echo(json.dumps(said) if as_json else f"{out}: {len(content)} bytes")


def _progress(done: int, count: int) -> None:
    """One line that counts up, for whoever waits at a terminal."""
    if sys.stderr.isatty():
        typer.echo(f"\rsheet {done} of {count}", err=True, nl=done == count)


def event_number(database: Database, band: BandId, wanted: str) -> int:
    """The number of an event named by its number or its name.

    Raises:
        RequestError: the library has no such event; its events are listed.
    """
    with database.reading() as session:
        kept = all_events(session, band)
    for each in kept:
        name = each.noun.name
        if wanted == str(each.id) or wanted.casefold() == name.casefold():
            return each.id
    listed = ", ".join(f"{each.id} {each.noun.name}" for each in kept) or "none at all"
    raise RequestError("event", f"there is no event {wanted!r}", f"name one of these: {listed}")
