"""Where do the parts and phrases of a tune begin, when somebody says so by hand?

Bars are counted through the tune as printed from 1, pick-ups left out and each ending once. A part
that is repeated, or has endings, stays what it is: a boundary inside it, or none at its edges,
would change what is played. Anything else can be cut and joined, which changes no note.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import accumulate, pairwise

from planner.errors import RequestError
from planner.music.tune import Bar, Part, Tune, phrases_fit


def part_starts(tune: Tune) -> tuple[int, ...]:
    """The bars in which the parts begin, counted through the tune."""
    counts = [len(part.full_bars) for part in tune.parts]
    return tuple(1 + before for before in accumulate([0, *counts[:-1]])) if counts else ()


def divide_parts(tune: Tune, starts: Sequence[int]) -> Tune:
    """The tune with parts that begin in these bars; none: as they are written.

    Raises:
        RequestError: a boundary is not in the tune, or would change what is played.
    """
    if not starts or tuple(starts) == part_starts(tune):
        return tune
    if tune.order:
        problem = "its file says in which order the parts are played"
        raise RequestError("part_starts", problem, "leave the parts as they are written")
    _check_order(tune, starts)
    for start, part in zip(part_starts(tune), tune.parts, strict=True):
        _check_repeat(start, part, starts, sum(map(_count, tune.parts)))
    harmonies = tuple(_divided(harmony, starts) for harmony in tune.harmonies)
    return replace(tune, parts=_divided(tune.parts, starts), harmonies=harmonies)


def _divided(written: Sequence[Part], starts: Sequence[int]) -> tuple[Part, ...]:
    parts: list[Part] = []
    for run in _runs(written):
        parts += [run[0]] if _is_fixed(run[0]) else _cut(run, starts, sum(map(_count, parts)))
    return tuple(replace(part, number=number) for number, part in enumerate(parts, start=1))


def divide_phrases(tune: Tune, starts: Sequence[Sequence[int]]) -> Tune:
    """The tune with phrases that begin in these bars of each part; empty for a part: as usual.

    Raises:
        RequestError: a part is missing, or a phrase does not fit its part.
    """
    if not any(starts):
        return tune
    if len(starts) != len(tune.parts):
        problem = f"phrases are given for {len(starts)} parts, and the tune has {len(tune.parts)}"
        raise RequestError("phrase_starts", problem, "give a line for each part")
    for own, part in zip(starts, tune.parts, strict=True):
        if own and not phrases_fit(tuple(own), part):
            problem = f"the phrases of part {part.number} do not fit its {_count(part)} bars"
            remedy = "begin with bar 1 and name the first bar of each phrase, rising"
            raise RequestError("phrase_starts", problem, remedy)
    return replace(tune, phrase_starts=tuple(tuple(own) for own in starts))


def _check_order(tune: Tune, starts: Sequence[int]) -> None:
    total = sum(map(_count, tune.parts))
    if starts[0] != 1 or any(one >= other for one, other in pairwise(starts)):
        remedy = "begin with bar 1 and name the first bar of each part, rising"
        raise RequestError("part_starts", "the parts are not in order", remedy)
    if starts[-1] > total:
        problem = f"there is no bar {starts[-1]}"
        raise RequestError("part_starts", problem, f"the tune has {total} bars")


def _check_repeat(start: int, part: Part, starts: Sequence[int], total: int) -> None:
    if not _is_fixed(part):
        return
    end = start + _count(part)
    for edge in (start, end)[: 2 if end <= total else 1]:
        if edge not in starts:
            problem = f"part {part.number} is repeated, so a part has to begin in bar {edge}"
            raise RequestError("part_starts", problem, f"add {edge}")
    for inside in starts:
        if start < inside < end:
            problem = f"bar {inside} stands inside part {part.number}, which is repeated"
            raise RequestError("part_starts", problem, f"leave {inside} out")


def _is_fixed(part: Part) -> bool:
    return part.is_repeated or bool(part.endings)


def _count(part: Part) -> int:
    return len(part.full_bars)


def _runs(written: Sequence[Part]) -> list[list[Part]]:
    """Fixed parts one by one, and the parts between them together."""
    runs: list[list[Part]] = []
    for part in written:
        if runs and not _is_fixed(part) and not _is_fixed(runs[-1][-1]):
            runs[-1].append(part)
        else:
            runs.append([part])
    return runs


def _cut(run: Sequence[Part], starts: Sequence[int], before: int) -> list[Part]:
    """Parts of a run of unrepeated bars, cut where ``starts`` say; ``before`` bars precede it."""
    bars = _joined(run)
    parts: list[list[Bar]] = [[]]
    place = before
    for bar in bars:
        place += not bar.is_pickup
        if place in starts and parts[-1] and not bar.is_pickup and not _is_lone_pickup(parts[-1]):
            parts.append([])
        number = sum(not each.is_pickup for each in parts[-1]) + 1
        parts[-1].append(bar if bar.is_pickup else replace(bar, number=number))
    return [Part(0, tuple(each)) for each in parts]


def _is_lone_pickup(bars: Sequence[Bar]) -> bool:
    return len(bars) == 1 and bars[0].is_pickup


def _joined(run: Sequence[Part]) -> list[Bar]:
    """The bars of several parts on end; a pick-up goes into the bar that was cut short for it.

    Raises:
        RequestError: a pick-up has no such bar.
    """
    bars: list[Bar] = []
    for part in run:
        for bar in part.bars:
            if not bar.is_pickup or not bars:
                bars.append(bar)
                continue
            last = bars[-1]
            if last.length + bar.length != last.metre.bar_length:
                problem = f"the pick-up of part {part.number} has no room in the bar before it"
                raise RequestError("part_starts", problem, "leave this part as it is")
            bars[-1] = replace(last, notes=(*last.notes, *bar.notes))
    return bars
