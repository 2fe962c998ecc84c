"""The ``pacestick`` command: every subcommand, and one way to fail.

Errors go to standard error in one sentence; the exit code is 2 for bad input, 1 for a fault of the
program, 0 otherwise. ``--json`` prints exactly one JSON document on standard output.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence

import click
import typer

from api.cli_plan import plan_command
from api.cli_serve import serve_command
from planner.errors import PacestickError

BAD_INPUT = 2

app = typer.Typer(
    name="pacestick",
    help="Band sets and performance-context planning for Highland pipe bands.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
)
app.command("serve")(serve_command)
app.command("plan")(plan_command)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line and return its exit code."""
    try:
        outcome = app(args=arguments, prog_name="pacestick", standalone_mode=False)
    except click.exceptions.NoArgsIsHelpError as asked:
        typer.echo(asked.ctx.get_help() if asked.ctx else "")
        return BAD_INPUT
    except click.ClickException as error:
        return _fail(error.format_message())
    except PacestickError as error:
        return _fail(str(error))
    except (click.Abort, KeyboardInterrupt):
        return _fail("stopped")
    return outcome if isinstance(outcome, int) else 0


def _fail(sentence: str) -> int:
    typer.echo(sentence.strip(), err=True)
    return BAD_INPUT


def run() -> None:
    """The console script."""
    sys.exit(main())
