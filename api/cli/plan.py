"""``pacestick plan``: one tune, one occasion, no database."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer

from api.display.documents.plan import plan_document
from api.display.documents.plan_text import plan_text
from planner.errors import NotationError, RequestError
from planner.event.event import (
    SORTS_BY_OCCASION,
    Circumstance,
    Control,
    Drums,
    Occasion,
    Setting,
    Sort,
)
from planner.marks.choices import Choices
from planner.notation.drum_file import read_drum_file
from planner.notation.read import ReadTune, read_tunes, refuse
from planner.plan import TunePlan, plan_tune
from planner.rules.load import load_rulebook

File = Annotated[Path, typer.Argument(help="A tune file: ABC, MusicXML (.mxl too), MEI or MIDI.")]
OccasionOption = Annotated[Occasion, typer.Option("--occasion", help="The tag of the occasion.")]
SortOption = Annotated[Sort | None, typer.Option("--sort", help="The sort of job within it.")]
CircumstanceOption = Annotated[
    list[Circumstance] | None,
    typer.Option("--circumstance", help="What makes a careful pipe-major step down; repeatable."),
]
IdiomOption = Annotated[str | None, typer.Option("--idiom", help="The idiom it is played in.")]
TempoOption = Annotated[float | None, typer.Option("--tempo", help="Felt beats a minute.")]
DrumsOption = Annotated[Drums, typer.Option("--drums", help="Which drums play.")]
RungOption = Annotated[
    int | None, typer.Option("--rung", min=1, max=4, help="The players' control, 1 to 4.")
]
ScatterOption = Annotated[
    float | None, typer.Option("--measured-sd", help="Their measured timing scatter in ms.")
]
DrumScoreOption = Annotated[
    Path | None,
    typer.Option("--drum-score", help="The drum score: MusicXML, or JSON of the grid."),
]
TuneOption = Annotated[
    str | None, typer.Option("--tune", help="Which tune of the file, by number or title.")
]
JsonOption = Annotated[bool, typer.Option("--json", help="Print one JSON document.")]


@dataclass(frozen=True, slots=True)
class Asked:
    """What was asked for on the command line."""

    file: Path
    setting: Setting
    idiom: str | None
    tempo_bpm: float | None
    tune: str | None
    drum_score: Path | None = None


def plan_command(
    file: File,
    occasion: OccasionOption,
    sort: SortOption = None,
    circumstance: CircumstanceOption = None,
    idiom: IdiomOption = None,
    tempo: TempoOption = None,
    drums: DrumsOption = Drums.FULL,
    drum_score: DrumScoreOption = None,
    rung: RungOption = None,
    measured_sd: ScatterOption = None,
    tune: TuneOption = None,
    as_json: JsonOption = False,
) -> None:
    """Plan one tune for an occasion: how free, which marks, what the drums must know."""
    setting = asked_setting(occasion, sort, circumstance, drums, rung, measured_sd)
    plan = plan_file(Asked(file, setting, idiom, tempo, tune, drum_score))
    typer.echo(_json(plan) if as_json else plan_text(plan))


def plan_file(asked: Asked) -> TunePlan:
    """Read the tune that was asked for and plan it.

    Raises:
        NotationError: the file cannot be read, or the tune in it must not be planned.
        RequestError: a value makes no sense.
    """
    read = chosen_tune(asked.file.name, read_file(asked.file), asked.tune)
    score = asked.drum_score
    drummed = read_drum_file(score.name, file_content(score)) if score else None
    refuse(asked.file.name, read.findings)
    return plan_tune(
        read.tune,
        asked.setting,
        load_rulebook(),
        idiom=asked.idiom,
        tempo_bpm=asked.tempo_bpm,
        choices=Choices(drum_score=drummed),
    )


def read_file(path: Path) -> tuple[ReadTune, ...]:
    """The tunes of a file.

    Raises:
        NotationError: there is no such file, or it holds no music that can be read.
    """
    return read_tunes(path.name, file_content(path))


def file_content(path: Path) -> bytes:
    """The bytes of a file.

    Raises:
        NotationError: it cannot be opened.
    """
    try:
        return path.read_bytes()
    except OSError as error:
        reason = (error.strerror or "it cannot be opened").lower()
        raise NotationError(path.name, "", reason, "check the name of the file") from error


def chosen_tune(name: str, tunes: tuple[ReadTune, ...], wanted: str | None) -> ReadTune:
    """The one tune of a file, or the one named by its number (from 1) or title.

    Raises:
        NotationError: several tunes and none named, or none of that name; the tunes are listed.
    """
    if wanted is None and len(tunes) == 1:
        return tunes[0]
    if wanted is not None:
        if wanted.isdigit() and 1 <= int(wanted) <= len(tunes):
            return tunes[int(wanted) - 1]
        for read in tunes:
            if read.tune.title.casefold() == wanted.casefold():
                return read
    listed = ", ".join(f"{n} {read.tune.title}" for n, read in enumerate(tunes, start=1))
    problem = "it holds several tunes" if wanted is None else f"it has no tune {wanted!r}"
    raise NotationError(name, "", f"{problem} ({listed})", "name one with --tune")


def asked_setting(
    occasion: Occasion,
    sort: Sort | None,
    circumstances: list[Circumstance] | None,
    drums: Drums,
    rung: int | None,
    measured_sd: float | None,
) -> Setting:
    """The occasion as asked, its sort the usual one when none is named.

    Raises:
        RequestError: the sort belongs to another occasion, or the scatter is none.
    """
    sorts = SORTS_BY_OCCASION[occasion]
    if sort is not None and sort not in sorts:
        allowed = " or ".join(sorts)
        raise RequestError("sort", f"{sort} is no {occasion.words}", f"use {allowed}")
    if measured_sd is not None and not 0 < measured_sd <= 200:
        raise RequestError("measured-sd", f"{measured_sd:g} ms is no scatter", "give 1 to 200 ms")
    held = tuple(dict.fromkeys(circumstances or ()))
    return Setting(occasion, sort or sorts[0], drums, Control(rung, measured_sd), held)


def _json(plan: TunePlan) -> str:
    return json.dumps(plan_document(plan), indent=2, ensure_ascii=False)
