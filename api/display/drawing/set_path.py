"""How does a set run? Its tempo and its tonal centre as two paths, and the joins on the way.

Across is time, to scale. The tempo stands higher where it is quicker, in felt beats a minute; a
tonal centre stands higher where it lies higher on the scale of the pipes, from G up.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from api.display.drawing.ink import (
    Block,
    Figure,
    Frame,
    Ink,
    Line,
    Scale,
    Sign,
    Text,
    in_both_frames,
    text_width,
)
from api.display.drawing.labels import Wanted, height_of, place_labels
from api.display.words import join_in_words, length_words, metre_words, sentence_start, tempo_words
from planner.event.joins import Join
from planner.event.timetable import Kind, SetTimetable
from planner.music.tune import Tune

TEMPO_PX, JOIN_PX, CENTRE_PX, STEP_PX = 78.0, 30.0, 24.0, 14.0
TEMPO_TOP, TEMPO_FOOT = 24.0, 66.0
LEAST_SPREAD_BPM = 8.0
"""A spread smaller than this is not drawn larger than it is."""

SCALE_FROM_G = "GABCDEF"
NOT_KNOWN = "not known"
SMOOTHNESS = {"smooth": "smooth", "workable": "workable", "to be drilled": "drill"}
LIFT_SIGNS = {"lift": "lift", "flat": "flat"}
LOOKS = (
    ("before", "introduction"),
    ("smooth", "a smooth join"),
    ("workable", "a workable join"),
    ("drill", "a join to be drilled"),
    ("lift", "it lifts"),
    ("flat", "it sounds flat"),
)


@dataclass(frozen=True, slots=True)
class Leg:
    """A tune where it lies in the set, in seconds, with its tempo in felt beats a minute."""

    title: str
    metre: str
    centre: str
    bpm: float
    from_s: float
    seconds: float

    @property
    def end_s(self) -> float:
        """The second it ends at."""
        return self.from_s + self.seconds


@dataclass(frozen=True, slots=True)
class Path:
    """A set: its introduction, its tunes, and a join between each two, None where unknown."""

    introduction_s: float
    legs: tuple[Leg, ...]
    joins: tuple[Join | None, ...]

    @property
    def seconds(self) -> float:
        """Seconds of the whole."""
        return self.legs[-1].end_s


def path_figure(
    timetable: SetTimetable | None,
    tunes: Mapping[str, Tune],
    centres: Mapping[str, str],
    joins: Sequence[Join],
) -> Figure | None:
    """A set as its two paths, None where there is no join to look at.

    ``tunes`` and ``centres`` are by tune key; ``joins`` are those of the set played once.
    """
    legs = tuple(_legs(timetable, tunes, centres)) if timetable else ()
    if timetable is None or len(legs) < 2:
        return None
    around = (*joins, None) if joins else (None,)
    repeated = tuple(around[at % len(around)] for at in range(len(legs) - 1))
    return figure_of_path(Path(float(timetable.length_of(Kind.INTRODUCTION)), legs, repeated))


def figure_of_path(path: Path) -> Figure:
    """Two paths as they are drawn and told."""
    return Figure(
        key="path",
        name="Tempo and tonal centre of the set, to scale",
        words=tuple(_told(path)),
        drawn=in_both_frames(lambda frame: _draw(path, frame)),
        legend=tuple(look for look in LOOKS if look[0] in _looks(path)),
    )


def _legs(
    timetable: SetTimetable, tunes: Mapping[str, Tune], centres: Mapping[str, str]
) -> Iterator[Leg]:
    at = 0.0
    for stretch in timetable.stretches:
        if stretch.kind is Kind.TUNE:
            tune = tunes[stretch.name]
            yield Leg(
                title=tune.title,
                metre=metre_words(tune.metre),
                centre=centres.get(stretch.name, ""),
                bpm=float(stretch.bpm),
                from_s=at,
                seconds=stretch.seconds,
            )
        at += stretch.seconds


def _told(path: Path) -> Iterator[str]:
    if path.introduction_s:
        yield f"Introduction: {length_words(path.introduction_s)}."
    for at, leg in enumerate(path.legs):
        centre = leg.centre or NOT_KNOWN
        yield (
            f"{leg.title}: {leg.metre}, {tempo_words(leg.bpm)} felt beats a minute, "
            f"tonal centre {centre}, {length_words(leg.seconds)}."
        )
        join = path.joins[at] if at < len(path.joins) else None
        if join:
            yield sentence_start(join_in_words(join))


def _looks(path: Path) -> set[str]:
    known = [join for join in path.joins if join]
    looks = {SMOOTHNESS[str(join.smoothness)] for join in known}
    looks |= {LIFT_SIGNS[str(join.lift)] for join in known if str(join.lift) in LIFT_SIGNS}
    return looks | ({"before"} if path.introduction_s else set())


def tempo_heights(path: Path) -> tuple[float, ...]:
    """How high the tempo of each tune stands: 0 slowest, 1 quickest, all in the middle if alike."""
    tempos = [leg.bpm for leg in path.legs]
    spread = max(max(tempos) - min(tempos), LEAST_SPREAD_BPM)
    middle = (max(tempos) + min(tempos)) / 2
    return tuple(0.5 + (bpm - middle) / spread for bpm in tempos)


def centre_steps(path: Path) -> tuple[int, ...]:
    """The step each tonal centre stands on, 0 lowest, out of those the set has."""
    order = sorted({leg.centre for leg in path.legs}, key=_on_the_scale)
    return tuple(order.index(leg.centre) for leg in path.legs)


def _on_the_scale(centre: str) -> tuple[int, str]:
    place = SCALE_FROM_G.find(centre[:1].upper()) if centre else -1
    return place, centre


def _draw(path: Path, frame: Frame) -> Ink:
    scale = Scale(0.0, path.seconds)
    centres_y = TEMPO_PX + JOIN_PX
    steps = max(centre_steps(path))
    foot = centres_y + CENTRE_PX + steps * STEP_PX
    labels = place_labels(tuple(_wanted(path, scale, frame)), frame, foot, 7)
    return Ink(
        frame=frame,
        height=foot + height_of(labels),
        blocks=tuple(_centre_blocks(path, scale, centres_y, steps)),
        lines=(*_tempo_lines(path, scale), *_seams(path, scale, foot), *labels.threads),
        texts=(
            *_tempo_words(path, scale, frame),
            *_centre_words(path, scale, frame, centres_y, steps),
            *labels.texts,
        ),
        signs=tuple(_signs(path, scale, frame)),
    )


def _tempo_y(height: float) -> float:
    return TEMPO_FOOT - height * (TEMPO_FOOT - TEMPO_TOP)


def _tempo_lines(path: Path, scale: Scale) -> Iterator[Line]:
    ys = [_tempo_y(height) for height in tempo_heights(path)]
    if path.introduction_s:
        yield Line(0.0, ys[0], scale.at(path.introduction_s), ys[0], "before")
    for leg, y in zip(path.legs, ys, strict=True):
        yield Line(scale.at(leg.from_s), y, scale.at(leg.end_s), y, "street")
    for (before, after), (from_y, to_y) in zip(pairwise(path.legs), pairwise(ys), strict=True):
        yield Line(scale.at(before.end_s), from_y, scale.at(after.from_s), to_y, "joint")


def _tempo_words(path: Path, scale: Scale, frame: Frame) -> Iterator[Text]:
    for leg, height in zip(path.legs, tempo_heights(path), strict=True):
        tempo = tempo_words(leg.bpm)
        unit = f"{tempo} beats a minute"
        words = unit if leg is path.legs[0] and _fits(unit, leg, scale, frame) else tempo
        if _fits(words, leg, scale, frame):
            middle = scale.at(leg.from_s + leg.seconds / 2)
            yield Text(middle, _tempo_y(height) - 7, words, "middle", "strong")


def _fits(words: str, leg: Leg, scale: Scale, frame: Frame) -> bool:
    return text_width(words) + 6 <= frame.px(scale.length(leg.seconds))


def _seams(path: Path, scale: Scale, foot: float) -> Iterator[Line]:
    for before, after in pairwise(path.legs):
        at = scale.at((before.end_s + after.from_s) / 2)
        yield Line(at, TEMPO_PX - 8, at, foot, "wedge")


def _centre_blocks(path: Path, scale: Scale, y: float, steps: int) -> Iterator[Block]:
    for leg, step in zip(path.legs, centre_steps(path), strict=True):
        kind = "set" if leg.centre else "words"
        top = y + (steps - step) * STEP_PX
        yield Block(scale.at(leg.from_s), scale.length(leg.seconds), top, CENTRE_PX, kind)


def _centre_words(path: Path, scale: Scale, frame: Frame, y: float, steps: int) -> Iterator[Text]:
    for leg, step in zip(path.legs, centre_steps(path), strict=True):
        words = leg.centre or NOT_KNOWN
        if _fits(words, leg, scale, frame):
            middle = scale.at(leg.from_s + leg.seconds / 2)
            base = y + (steps - step) * STEP_PX + 17
            yield Text(middle, base, words, "middle", "on-set" if leg.centre else "")


def _signs(path: Path, scale: Scale, frame: Frame) -> Iterator[Sign]:
    y = TEMPO_PX + JOIN_PX / 2 - 2
    aside = frame.percent(11)
    for (before, after), join in zip(pairwise(path.legs), path.joins, strict=True):
        at = scale.at((before.end_s + after.from_s) / 2)
        if join is None:
            continue
        lift = LIFT_SIGNS.get(str(join.lift), "")
        yield Sign(at - aside if lift else at, y, SMOOTHNESS[str(join.smoothness)])
        if lift:
            yield Sign(at + aside, y, lift)


def _wanted(path: Path, scale: Scale, frame: Frame) -> Iterator[Wanted]:
    """Number and name of each tune, with what had no room inside its own block."""
    for number, leg in enumerate(path.legs, start=1):
        facts = (tempo_words(leg.bpm), leg.centre)
        told = [f"{number} {leg.title}", leg.metre]
        told += [each for each in facts if each and not _fits(each, leg, scale, frame)]
        yield Wanted(scale.at(leg.from_s), ", ".join(told), short=str(number))
