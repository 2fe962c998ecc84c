"""``pacestick reckon``: the sums of the back of an envelope, without a database.

Each command prints a line or two to read, or one JSON document with ``--json``. The rules behind
the answers are those of the book that ships with the engine.
"""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path
from typing import Annotated, Any

import typer

from api.cli.rules import contest_rulebook, nerves_document, nerves_words
from api.display.dances import dance_document
from api.display.rulesets import ruleset_row
from planner.errors import RequestError
from planner.event.amounts import minutes_and_seconds, plain
from planner.event.contest.contest import judge_time, with_nerves
from planner.event.contest.rulesets import all_rulesets, find_ruleset
from planner.event.dance import (
    Dance,
    DanceLength,
    all_dances,
    dance_length,
    find_dance,
    read_steps,
    tempo_of_bars,
    with_own_bars,
)
from planner.event.sound import sound_dose
from planner.event.street.parade import march
from planner.event.street.spoken_route import MarchedStretches, march_stretches
from planner.music.tuning import LOW_A_RANGE_HZ, chanter_scale
from planner.rules.load import load_rulebook

reckon_app = typer.Typer(
    help="Sums without a library: march, dance, contest, sound, scale.", no_args_is_help=True
)

JsonOption = Annotated[bool, typer.Option("--json", help="Print one JSON document.")]
ListOption = Annotated[bool, typer.Option("--list", help="List the names on record.")]
RateOption = Annotated[float, typer.Option("--rate", help="Paces a minute, such as 86.")]
PaceOption = Annotated[float, typer.Option("--pace", help="Metres of one pace; 30 in is 0.762.")]
MinutesOption = Annotated[float | None, typer.Option("--minutes", help="How long, in minutes.")]
DistanceOption = Annotated[float | None, typer.Option("--distance", help="How far, in metres.")]
StretchOption = Annotated[
    list[str] | None,
    typer.Option(
        "--stretch", help="In place of --distance, in order: METRES, up or down, halt SECONDS."
    ),
]
RulesFileOption = Annotated[
    Path | None, typer.Option("--rules", help="A TOML file of rule sets of your own.")
]
DataOption = Annotated[
    Path | None, typer.Option("--data", help="Folder of a library, for the band's own rules.")
]
DanceName = Annotated[str | None, typer.Argument(help="A dance, such as highland-fling.")]
StepsOption = Annotated[
    str | None, typer.Option("--steps", help="Steps: 6, slow and quick 3+1, or turns 8x32.")
]
DanceTempoOption = Annotated[
    str | None, typer.Option("--tempo", help="Felt beats a minute; slow,quick where there are two.")
]
BarsAMinuteOption = Annotated[
    float | None, typer.Option("--bars-a-minute", help="Instead of --tempo, as country dancers do.")
]
IntroductionOption = Annotated[
    int | None, typer.Option("--introduction", help="Bars of introduction; else the usual ones.")
]
BarsPerStepOption = Annotated[
    int | None, typer.Option("--bars-per-step", help="Bars of a step or turn, if not the usual.")
]
BeatsPerBarOption = Annotated[
    int | None, typer.Option("--beats-per-bar", help="Felt beats of a bar, if not the usual.")
]
RulesName = Annotated[str | None, typer.Argument(help="Rules, such as rspba-2026-grade-2-medley.")]
SecondsOption = Annotated[float | None, typer.Option("--seconds", help="The time played.")]
LevelOption = Annotated[
    float, typer.Option("--level", help="Measured average level in dB(A), never a press maximum.")
]
LowAOption = Annotated[float, typer.Option("--low-a", help="What low A sounds at, in Hz.")]
LimitOption = Annotated[str, typer.Option("--limit", help="niosh, eu-lower, eu-upper or eu-limit.")]


@reckon_app.command("march")
def march_command(
    rate: RateOption,
    pace: PaceOption,
    minutes: MinutesOption = None,
    distance: DistanceOption = None,
    stretch: StretchOption = None,
    as_json: JsonOption = False,
) -> None:
    """Metres of so many minutes on the march, or minutes of so many metres, slopes and halts."""
    if stretch:
        if minutes is not None or distance is not None:
            raise RequestError("stretch", "is given beside a length", "give one of the two")
        _say_stretches(march_stretches(rate, pace, stretch, load_rulebook()), as_json)
        return
    got = march(rate, pace, minutes=minutes, distance_m=distance)
    answer = {
        "metres": got.metres,
        "minutes": got.minutes,
        "metres_per_minute": got.metres_per_minute,
    }
    text = (
        f"{plain(round(got.metres, 1))} m in {minutes_and_seconds(got.minutes * 60)} min, "
        f"{plain(round(got.metres_per_minute, 1))} m a minute"
    )
    _say(answer, text, as_json)


@reckon_app.command("dance")
def dance_command(
    name: DanceName = None,
    steps: StepsOption = None,
    tempo: DanceTempoOption = None,
    bars_a_minute: BarsAMinuteOption = None,
    introduction: IntroductionOption = None,
    bars_per_step: BarsPerStepOption = None,
    beats_per_bar: BeatsPerBarOption = None,
    show_list: ListOption = False,
    as_json: JsonOption = False,
) -> None:
    """Bars and seconds of a dance, and where quick time begins."""
    rulebook = load_rulebook()
    if show_list:
        _list([dance_document(dance, rulebook) for dance in all_dances(rulebook)], as_json)
        return
    dance = find_dance(_needed("dance", name, "a name of --list"), rulebook)
    usual = " or ".join("+".join(map(str, each)) for each in dance.usual_steps) or "6 or 3+1"
    counts, bars = read_steps(_needed("steps", steps, f"--steps, such as {usual}"))
    own = with_own_bars(dance, bars_per_step=bars_per_step or bars, beats_per_bar=beats_per_bar)
    tempos = _tempos(own, tempo, bars_a_minute)
    got = dance_length(own, counts, tempos, rulebook, introduction)
    _say(_dance_answer(dance, got), _dance_text(dance, got), as_json)


@reckon_app.command("contest")
def contest_command(
    ruleset: RulesName = None,
    seconds: SecondsOption = None,
    show_list: ListOption = False,
    rules_file: RulesFileOption = None,
    data: DataOption = None,
    as_json: JsonOption = False,
) -> None:
    """A time against the window of a set of contest rules: under, ok or over."""
    rulebook = contest_rulebook(rules_file, data)
    if show_list:
        _list([ruleset_row(rules) for rules in all_rulesets(rulebook)], as_json)
        return
    rules = find_ruleset(_needed("ruleset", ruleset, "a name of --list"), rulebook)
    if seconds is None:
        raise RequestError("seconds", "are missing", "give --seconds, the time played")
    got = judge_time(rules, seconds)
    nervous = with_nerves(rules, seconds, rulebook)
    answer = {
        "ruleset": rules.name,
        "verdict": got.verdict.value,
        "margin_seconds": got.margin_seconds,
        "shortest_seconds": float(rules.shortest_s or 0),
        "longest_seconds": float(rules.longest_s or 0),
        "source": got.source,
        "since": got.since,
        "note": got.confirm,
        "sets": rules.sets,
        "clock_from": rules.clock_from.value,
        **nerves_document(nervous),
    }
    text = "\n".join(
        (got.text, nerves_words(nervous), f"{got.source} (since {got.since}). {got.confirm}")
    )
    _say(answer, text, as_json)


@reckon_app.command("sound")
def sound_command(
    level: LevelOption,
    minutes: MinutesOption = None,
    limit: LimitOption = "niosh",
    as_json: JsonOption = False,
) -> None:
    """After how many minutes a daily value of the noise dose is reached, and the dose of a time."""
    got = sound_dose(level, load_rulebook(), minutes=minutes, limit=limit)
    answer = {
        "limit": got.limit,
        "minutes_to_value": got.minutes_to_value,
        "dose_percent": got.dose_percent,
        "text": got.text,
        "notes": list(got.notes),
        "source": got.source,
        "since": got.since,
    }
    lines = [got.text, " ".join(got.notes)]
    if minutes is not None and got.dose_percent is not None:
        dose = plain(round(got.dose_percent, 1))
        lines.insert(1, f"{plain(minutes)} min are {dose} % of the daily value.")
    _say(answer, "\n".join(lines), as_json)


@reckon_app.command("scale")
def scale_command(low_a: LowAOption, as_json: JsonOption = False) -> None:
    """What the nine notes of the chanter sound at: for drones, tenors and tuners."""
    lowest, highest = LOW_A_RANGE_HZ
    if not lowest <= low_a <= highest:
        remedy = f"give {lowest:g} to {highest:g} Hz"
        raise RequestError("low-a", f"{low_a:g} Hz is no chanter's low A", remedy)
    scale = chanter_scale(low_a)
    lines = [f"{note:<7} {plain(round(hz, 1)):>6} Hz" for note, hz in scale.items()]
    _say({"low_a_hz": low_a, "hz": scale}, "\n".join(lines), as_json)


def _say_stretches(got: MarchedStretches, as_json: bool) -> None:
    answer = {
        "metres": got.metres,
        "minutes": got.minutes,
        "metres_per_minute": got.metres_per_minute,
        "walking_minutes": got.walking_minutes,
        "halted_minutes": got.halted_minutes,
        "stretches": [asdict(each) for each in got.stretches],
    }
    lines = [
        f"{plain(each.metres)} m {each.slope}: {minutes_and_seconds(each.seconds)} min by paces of "
        f"{plain(each.pace_m)} m{_halted(each.halt_s)}"
        for each in got.stretches
    ]
    lines.append(
        f"{plain(got.metres)} m in {minutes_and_seconds(got.minutes * 60)} min, "
        f"{minutes_and_seconds(got.halted_minutes * 60)} of it in halts; "
        f"{plain(round(got.metres_per_minute, 1))} m a minute on the march"
    )
    _say(answer, "\n".join(lines), as_json)


def _halted(seconds: float) -> str:
    return f", then a halt of {plain(seconds)} s" if seconds else ""


def _tempos(dance: Dance, tempo: str | None, bars_a_minute: float | None) -> tuple[float, ...]:
    if bars_a_minute is not None and tempo is None:
        return (float(tempo_of_bars(dance, bars_a_minute)),)
    if tempo is None:
        return ()  # the sum itself says which tempos this dance wants
    if bars_a_minute is not None:
        raise RequestError("tempo", "is given beside bars a minute", "give one of the two")
    try:
        return tuple(float(word) for word in tempo.split(","))
    except ValueError as error:
        problem = f"{tempo!r} is no tempo"
        raise RequestError("tempo", problem, "give 114, or slow and quick as 94,114") from error


def _needed(field: str, given: str | None, example: str) -> str:
    if given is None or not given.strip():
        raise RequestError(field, "is missing", f"give {example}")
    return given


def _dance_answer(dance: Dance, got: DanceLength) -> dict[str, Any]:
    return {
        "dance": dance.name,
        "bars": got.bars,
        "seconds": got.seconds,
        "introduction_bars": got.introduction_bars,
        "quick_from_bar": got.quick_from_bar,
        "shortest_seconds": got.shortest_s,
        "longest_seconds": got.longest_s,
    }


def _dance_text(dance: Dance, got: DanceLength) -> str:
    quick = f"; quick time from dance bar {got.quick_from_bar}" if got.quick_from_bar else ""
    return (
        f"{dance.title}: {got.bars} bars ({got.introduction_bars} of introduction), "
        f"{plain(round(got.seconds, 1))} s or {minutes_and_seconds(got.seconds)}{quick}\n"
        f"within the tolerance {plain(round(got.shortest_s, 1))} to "
        f"{plain(round(got.longest_s, 1))} s"
    )


def _list(rows: list[dict[str, Any]], as_json: bool) -> None:
    width = max(len(row["name"]) for row in rows)
    _say(rows, "\n".join(f"{row['name']:<{width}}  {row['title']}" for row in rows), as_json)


def _say(answer: Any, text: str, as_json: bool) -> None:
    typer.echo(json.dumps(answer, indent=2, ensure_ascii=False) if as_json else text)
