"""Can the tunes of a set be played as it says? Parts that are there, bars that add up."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from planner.errors import NotationError, RequestError
from planner.event.altered import LAST_BAR, refuse_misfits
from planner.event.event import Entry
from planner.event.played_parts import as_played, in_turn
from planner.music.tune import Tune


def is_as_printed(entry: Entry) -> bool:
    """True when nothing of a tune is played otherwise than as printed."""
    return not (entry.parts or entry.part_times or entry.last_bar or entry.link)


def check_played(entries: Sequence[Entry], tunes: Mapping[str, Tune | None]) -> None:
    """Stop at an entry that cannot be played; its altered bar may lead to any tune of the set.

    Which tune comes next may still change, so that alone stops nothing here.

    Raises:
        RequestError: it names the entry, counted from 1, or the field of the entry, from 0.
    """
    known = [(each, tunes[each.tune_key]) for each in entries]
    for position, (entry, tune) in enumerate(known, start=1):
        if tune is not None:
            _check_parts(entry, tune, position)
    following = [in_turn(each, tune) for each, tune in known if tune is not None]
    for position, (entry, tune) in enumerate(known):
        if tune is not None:
            check_fit(entry, tune, following, f"entries.{position}.")


def check_fit(entry: Entry, tune: Tune, following: Iterable[Tune], prefix: str = "") -> None:
    """Stop at an altered bar or a link that does not fit before any of the tunes following.

    Raises:
        RequestError: its field is named, ``prefix`` before it.
    """
    field = f"{prefix}last_bar"
    if entry.last_bar and not tune.has_notes:
        problem = f"“{tune.title}” has no notes on file, so no bar of it can be altered"
        raise RequestError(field, problem, "upload its music first")
    try:
        refuse_misfits(entry, in_turn(entry, tune), tuple(following))
        as_played(entry, tune)
    except NotationError as error:
        field = field if error.file == LAST_BAR else f"{prefix}link"
        where = f"{error.file}, {error.where}," if error.where else error.file
        problem = f"{where} {error.problem.removeprefix('it ')}"
        raise RequestError(field, problem, error.remedy) from error


def _check_parts(entry: Entry, tune: Tune, position: int) -> None:
    wrong = sorted(set(entry.parts) - {part.number for part in tune.parts})
    if wrong:
        raise RequestError(
            f"entries.{position - 1}.parts",
            f"entry {position} asks for part {wrong[0]} of “{tune.title}”",
            f"it has {'one part' if len(tune.parts) == 1 else f'parts 1 to {len(tune.parts)}'}",
        )
    in_turn(entry, tune)
