"""What differs when one tune is played on two occasions? Both engravings, and why, on paper."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import zip_longest

from api.display.differences import difference_sentences
from api.display.paper.phrased_music import (
    LegendView,
    PictureView,
    TunePictures,
    credits_words,
    legend_of,
    reason_words,
)
from api.display.planned import setting_words
from api.display.words import beats_a_minute, layer_lines, metre_words, sentence_start, tempo_words
from planner.compare import compare_plans
from planner.plan import TunePlan


@dataclass(frozen=True, slots=True)
class SideView:
    """One occasion: its name, what it allows, how strict the drums are, and why."""

    name: str
    tempo: str
    drums: str
    marks: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SideBySideView:
    """The same tune on two occasions. ``layers`` are (layer, left, right), all of them."""

    title: str
    facts: str
    credits: tuple[str, ...]
    left: SideView
    right: SideView
    layers: tuple[tuple[str, str, str], ...]
    differences: tuple[str, ...]
    rows: tuple[tuple[PictureView | None, PictureView | None], ...]
    legend: tuple[LegendView, ...]
    version: str


def side_by_side_view(
    left: TunePlan,
    right: TunePlan,
    drawn_left: TunePictures,
    drawn_right: TunePictures,
    version: str,
) -> SideBySideView:
    """Two plans of one tune beside each other, part by part."""
    levels = zip(layer_lines(left.licence.layers), layer_lines(right.licence.layers), strict=True)
    both = {move: sign for move, sign in (*drawn_left.signs, *drawn_right.signs)}
    return SideBySideView(
        title=left.tune.title,
        facts=sentence_start(f"{left.analysis.idiom} · {metre_words(left.tune.metre)}"),
        credits=credits_words(left.tune.credits),
        left=_side(left),
        right=_side(right),
        layers=tuple((layer, one, other) for (layer, one), (_, other) in levels),
        differences=difference_sentences(left, right, compare_plans(left, right)),
        rows=tuple(zip_longest(drawn_left.systems, drawn_right.systems)),
        legend=legend_of((*left.marks, *right.marks), tuple(both.items())),
        version=version,
    )


def _side(plan: TunePlan) -> SideView:
    count = len(plan.marks)
    return SideView(
        name=sentence_start(setting_words(plan.licence.setting)),
        tempo=f"{tempo_words(plan.analysis.tempo.bpm)} {beats_a_minute([plan.tune.metre])}",
        drums=str(plan.drums.tempo),
        marks=f"{count} mark{'' if count == 1 else 's'}" if count else "no marks",
        reasons=reason_words(plan.licence.reasons),
    )
