"""What has changed on the drum sheet since it was last handed out?

What a sheet said is kept as plain lists and texts, tune by tune, so that a later sheet can be
compared with it whatever has become of the event since.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from api.display.paper.drum_sheet import BarView, DrumSheetView, DrumTuneView

Contents = Mapping[str, Mapping[str, str]]
"""For each tune by title: what was said of ``tempo`` and ``facts``, and of each bar by address."""


def contents_of(sheet: DrumSheetView) -> dict[str, dict[str, str]]:
    """What a drum sheet says, tune by tune; a tune that comes twice is kept as it comes last."""
    return {tune.title: _tune_contents(tune) for tune in sheet.tunes}


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that is said otherwise: ``what`` of ``tune``, as it ``was`` and as it ``is``.

    ``what`` is empty for a tune that is new or gone; ``was`` and ``is_now`` are empty where there
    was or is nothing. ``words`` is the whole in one sentence.
    """

    tune: str
    what: str
    was: str
    is_now: str
    words: str


def changes_between(before: Contents, now: Contents) -> tuple[Change, ...]:
    """Every change, in the order of the sheet as it is now; what is gone, last."""
    return (
        *(change for title in now for change in _changes_of(title, before, now[title])),
        *(
            Change(title, "", "played", "", f"{title} is no longer played.")
            for title in before
            if title not in now
        ),
    )


def _tune_contents(tune: DrumTuneView) -> dict[str, str]:
    told = {"tempo": f"{tune.tempo} {tune.tempo_unit}, {tune.tempo_word}", "facts": tune.facts}
    part = ""
    for strip in tune.strips:
        part = strip.label or part  # a long part goes on without its label
        told |= {f"{part}, bar {bar.number}": _bar_words(bar) for bar in strip.bars}
    return told


def _bar_words(bar: BarView) -> str:
    return " ".join((bar.verdict, *bar.moves))


def _changes_of(title: str, before: Contents, now: Mapping[str, str]) -> Iterator[Change]:
    if title not in before:
        yield Change(title, "", "", "played", f"{title} is new.")
        return
    for what in dict.fromkeys((*now, *before[title])):
        was, is_now = before[title].get(what, ""), now.get(what, "")
        if was != is_now:
            words = f"{title}, {what}: {is_now or 'gone'}{f' (was {was})' if was else ''}."
            yield Change(title, what, was, is_now, words)
