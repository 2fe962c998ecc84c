"""The page on which a drum score is entered: one voice in one part, bar by bar, or copied."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Annotated

from fastapi import Query
from fastapi.responses import Response

from api.actions.drum_scores import drum_scores_of, grid_file, keep_drum_score
from api.actions.tunes import one_tune
from api.display.form import FormView
from api.display.pages.drum_grid import (
    DrumGridView,
    beat_of,
    drum_grid_view,
    metre_of,
    off_the_grid,
    places_of,
    rolls_of,
    splits_of,
)
from api.routes.form import RowNumber
from api.routes.later import LaterRouter
from api.routes.pages.typed import Typed, TypedDep
from api.routes.pages.visit import Visit, VisitDep
from planner.errors import RequestError
from planner.music.drums import BarKey, DrumBar, DrumLine, DrumScore, DrumVoice
from planner.music.tune import Bar, Part, Tune

router = LaterRouter(prefix="/tunes/{number}/drum-score")

PAGE = "pages/drum_grid.html"
Asked = Annotated[str, Query(max_length=30)]


@router.get("")
def drum_grid(
    number: RowNumber,
    visit: VisitDep,
    part: Asked = "1",
    voice: Asked = "snare corps",
    split: Asked = "",
) -> Response:
    """The grid of one voice in one part; ``split`` is how many places a felt beat has."""
    view = _view(visit, number, part, voice, split)
    return visit.show(PAGE, view=view, form=FormView(f"{view.address}/grid"))


@router.post("/grid")
def keep_grid(number: RowNumber, visit: VisitDep, typed: TypedDep) -> Response:
    """Keep what is ticked for a voice in a part; or copy a bar, or the part from another."""
    view = _view(visit, number, typed.text("part"), typed.text("voice"), typed.text("split"))
    visit.expects(PAGE, typed.form(f"{view.address}/grid", view.address), view=view)
    tune, score = _music(visit, number)
    voice, part = DrumVoice(view.voice), tune.parts[int(view.part) - 1]
    line = {**score.lines.get(voice, {})}
    line = {key: bar for key, bar in line.items() if key[0] != part.number or key[1] == 0} | dict(
        _ticked(part, typed, line, int(view.split))
    )
    line |= _copied(part, typed, line)
    changed = replace(score, lines={**score.lines, voice: line})
    keep_drum_score(visit.session, visit.band, number, typed.seen_version(), grid_file(changed))
    asked = f"part={part.number}&voice={voice.value.replace(' ', '+')}&split={view.split}"
    return visit.go(f"{view.address}?{asked}")


def _ticked(
    part: Part, typed: Typed, line: DrumLine, split: int
) -> Iterator[tuple[BarKey, DrumBar]]:
    """The bars of a part as ticked; a bar with nothing ticked is not entered."""
    for bar in part.bars:
        if not bar.is_pickup:
            key = (part.number, bar.number, bar.ending)
            kept = off_the_grid(line.get(key, DrumBar()), bar.metre, split)
            entered = _entered(bar, typed, kept, split)
            if entered is not None:
                yield key, entered


def _entered(bar: Bar, typed: Typed, kept: DrumBar, split: int) -> DrumBar | None:
    """One bar as ticked, with what the grid cannot show; None when it was left empty.

    Raises:
        RequestError: it is called a bar of rest and has strokes.
    """
    name = f"{bar.number}-{bar.ending}"
    places = places_of(bar.metre, split)
    struck, rolling, unison = (
        [at for at in places if str(at) in typed.all(f"{row}.{name}")]
        for row in ("strike", "roll", "unison")
    )
    strokes = tuple(sorted({*struck, *kept.strokes}))
    rolls = (*rolls_of(rolling, struck, bar.metre.beat_length / split), *kept.rolls)
    is_rest = bool(typed.text(f"rest.{name}"))
    if is_rest and (strokes or rolls):
        problem = f"bar {bar.number} is a bar of rest, and something is struck in it"
        raise RequestError(f"rest.{name}", problem, "take one of them away")
    if not (is_rest or strokes or rolls):
        return None
    together = {beat_of(at, bar.metre) for at in unison}
    return DrumBar(
        strokes,
        tuple(sorted(rolls)),
        tuple(at for at in strokes if beat_of(at, bar.metre) in together),
    )


def _copied(part: Part, typed: Typed, line: DrumLine) -> dict[BarKey, DrumBar]:
    """The bars that a copy adds, in place of those that are there."""
    wanted = typed.text("do")
    if wanted == "copy bar":
        return _copied_bars(part, typed, line)
    if wanted == "copy part":
        source_part = typed.text("copy_part")
        present = {(bar.number, bar.ending) for bar in part.bars if not bar.is_pickup}
        return {
            (part.number, number, ending): bar
            for (other, number, ending), bar in line.items()
            if str(other) == source_part and (number, ending) in present
        }
    return {}


def _copied_bars(part: Part, typed: Typed, line: DrumLine) -> dict[BarKey, DrumBar]:
    """One bar or several in a row, over as many bars from another one on, to the part's end."""
    keys = [(part.number, bar.number, bar.ending) for bar in part.full_bars]
    first = _place(keys, typed, "copy_from")
    last = _place(keys, typed, "copy_until") if typed.text("copy_until") else first
    start = _place(keys, typed, "copy_to")
    if last < first:
        problem = "the bars to copy end before they begin"
        raise RequestError("copy_until", problem, "choose a later bar, or that bar alone")
    sources, targets = keys[first : last + 1], keys[start:]
    return {
        target: line[source]
        for source, target in zip(sources, targets, strict=False)
        if source in line
    }


def _place(keys: list[BarKey], typed: Typed, field: str) -> int:
    name = typed.text(field)
    for place, (_, bar, ending) in enumerate(keys):
        if name == f"{bar}-{ending}":
            return place
    raise RequestError(field, "there is no such bar in this part", "choose one of the list")


def _music(visit: Visit, number: int) -> tuple[Tune, DrumScore]:
    kept = one_tune(visit.session, visit.band, number)
    if kept.noun.tune is None:
        raise RequestError("tune", "it has no music to enter a score for", "upload its file again")
    record = kept.noun.record
    scores = drum_scores_of(visit.session, visit.band, [record])
    return kept.noun.tune, scores.get(record.key, DrumScore())


def _view(visit: Visit, number: int, part: str, voice: str, split: str = "") -> DrumGridView:
    tune, score = _music(visit, number)
    chosen = next((each for each in tune.parts if str(each.number) == part), None)
    if chosen is None:
        raise RequestError("part", f"there is no part “{part[:10]}”", "choose one of the list")
    if voice not in list(DrumVoice):
        raise RequestError("voice", f"“{voice[:30]}” is no voice", "choose one of the list")
    if split and split not in [str(each) for each in splits_of(metre_of(chosen))]:
        raise RequestError("split", f"no beat has “{split[:10]}” places", "choose one of the list")
    kept = one_tune(visit.session, visit.band, number)
    scan = kept.noun.record.drum_scan
    view = drum_grid_view(
        str(number), kept.version, tune, score, chosen, DrumVoice(voice), int(split or 0)
    )
    return replace(view, scan_kind=scan.media_type) if scan else view
