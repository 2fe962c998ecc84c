"""The ``pacestick`` command: every subcommand, and one way to fail.

Errors go to standard error in one sentence; the exit code is 2 for bad input, 1 for a fault of the
program, 0 otherwise. ``--json`` prints exactly one JSON document on standard output.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence

import typer

from api.cli.library import (
    backup_command,
    export_command,
    import_command,
    restore_command,
)
from api.cli.pack import pack_command
from api.cli.plan import plan_command
from api.cli.reckon import reckon_app
from api.cli.serve import serve_command
from api.cli.sheet import sheet_command
from planner.errors import PacestickError

BAD_INPUT = 2

app = typer.Typer(
    name="pacestick",
    help="Band sets and performance-context planning for Highland pipe bands.",
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)
app.command("serve")(serve_command)
app.command("plan")(plan_command)
app.command("sheet")(sheet_command)
app.command("pack")(pack_command)
app.command("backup")(backup_command)
app.command("restore")(restore_command)
app.command("export")(export_command)
app.command("import")(import_command)
app.add_typer(reckon_app, name="reckon")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line and return its exit code."""
    try:
        outcome = app(args=arguments, prog_name="pacestick", standalone_mode=False)
    except typer.TyperException as error:
        return _fail(f"{_sentence(error)}; see pacestick --help.")
    except PacestickError as error:
        return _fail(str(error))
    except (typer.Abort, KeyboardInterrupt):
        return _fail("stopped.")
    return outcome if isinstance(outcome, int) else 0


def _sentence(error: typer.TyperException) -> str:
    """What the option parser says, with the option's name where it knows it."""
    told = str(getattr(error, "format_message", error.__str__)())
    return " ".join(told.replace("Value error, ", "").split()).rstrip(".")


def _fail(sentence: str) -> int:
    typer.echo(sentence, err=True)
    return BAD_INPUT


def run() -> None:
    """The console script."""
    sys.exit(main())
