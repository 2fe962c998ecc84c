"""``pacestick sheet``: the phrased music of one tune as PDF, no database."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated

import typer

from api.cli.plan import (
    Asked,
    CircumstanceOption,
    DrumScoreOption,
    DrumsOption,
    File,
    IdiomOption,
    JsonOption,
    OccasionOption,
    RungOption,
    ScatterOption,
    SortOption,
    TempoOption,
    TuneOption,
    asked_setting,
    plan_file,
)
from api.printing.sheets import phrased_sheet
from planner.errors import RequestError
from planner.event.event import Drums


def sheet_command(
    file: File,
    occasion: OccasionOption,
    out: Annotated[Path, typer.Option("--out", help="Where to write the PDF.")],
    sort: SortOption = None,
    circumstance: CircumstanceOption = None,
    idiom: IdiomOption = None,
    tempo: TempoOption = None,
    drums: DrumsOption = Drums.FULL,
    drum_score: DrumScoreOption = None,
    rung: RungOption = None,
    measured_sd: ScatterOption = None,
    tune: TuneOption = None,
    harmony: Annotated[
        bool, typer.Option("--harmony", help="With the pipe harmony that the file holds.")
    ] = False,
    as_json: JsonOption = False,
) -> None:
    """Print the phrased music of one tune for an occasion."""
    setting = asked_setting(occasion, sort, circumstance, drums, rung, measured_sd)
    plan = plan_file(Asked(file, setting, idiom, tempo, tune, drum_score))
    content = phrased_sheet(plan.tune, plan, harmony)
    write_file(out, content)
    said = {"file": str(out), "bytes": len(content), "marks": len(plan.marks)}
    marks = "1 mark" if len(plan.marks) == 1 else f"{len(plan.marks)} marks"
    typer.echo(json.dumps(said) if as_json else f"{out}: {plan.tune.title}, {marks}")


def write_file(path: Path, content: bytes) -> None:
    """Write a file that was asked for.

    Raises:
        RequestError: it cannot be written there.
    """
    try:
        path.write_bytes(content)
    except OSError as error:
        reason = (error.strerror or "it cannot be written").lower()
        raise RequestError("out", f"{path.name}: {reason}", "choose another place") from error
