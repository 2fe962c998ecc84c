"""What does a band below rung 4 practise on a tune, instead of marks?

A small table: the metronome step by step, the dotted and cut pairs with the ratio as written and as
wanted, or the short notes that join a movement. What is the same in several places is said once.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from api.display.words import addresses_in_words, counted, sentence_start, tempo_words
from planner.marks.rung_work import Join, MetronomeStep, Pair, RungWork
from planner.music.tune import Address

Row = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PracticeView:
    """``lead`` says what comes first; ``rows`` stand under ``heads``, or ``none`` says why not."""

    lead: str
    heads: Row = ()
    rows: tuple[Row, ...] = ()
    none: str = ""


def practice_view(work: RungWork | None) -> PracticeView | None:
    """The work of a rung on a tune; None from rung 4 on."""
    if work is None:
        return None
    if work.rung == 1:
        return PracticeView(
            "First a steady beat: with the metronome, and up a step only when it was clean.",
            ("Step", "Tempo", "Cleanly, before the next step"),
            tuple(_steps(work.metronome)),
        )
    if work.rung == 2:
        return PracticeView(
            "First dots and cuts at full contrast: these pairs, at their wanted ratio.",
            ("Pair", "Written", "Wanted", "Short note", "Where"),
            tuple(_pairs(work.pairs)),
            "" if work.pairs else "There is no dotted or cut pair in this tune.",
        )
    return PracticeView(
        "First the short notes joined: each goes straight into the movement after it.",
        ("Take", "Into", "Where"),
        tuple(_joins(work.joins)),
        "" if work.joins else "No short note stands before a movement in this tune.",
    )


def _steps(steps: tuple[MetronomeStep, ...]) -> Iterator[Row]:
    for number, step in enumerate(steps, start=1):
        is_last = number == len(steps)
        times = "the tempo of the plan" if is_last else f"{counted(step.times, 'time')} through"
        yield str(number), tempo_words(step.tempo_bpm), times


def _pairs(pairs: tuple[Pair, ...]) -> Iterator[Row]:
    alike: dict[Row, list[Address]] = {}
    for pair in pairs:
        kind = "cut" if pair.is_cut else "dotted"
        same = (
            f"{kind} {pair.place.note} and {pair.after.note}",
            _ratio(pair.written_ratio),
            _ratio(pair.wanted_ratio),
            f"{pair.short_ms:.0f} ms",
        )
        alike.setdefault(same, []).append(pair.place.address)
    return _rows(alike)


def _joins(joins: tuple[Join, ...]) -> Iterator[Row]:
    alike: dict[Row, list[Address]] = {}
    for join in joins:
        name = join.movement
        into = name if name.endswith(f"on {join.into.note}") else f"{name} on {join.into.note}"
        alike.setdefault((join.place.note, into), []).append(join.place.address)
    return _rows(alike)


def _rows(alike: dict[Row, list[Address]]) -> Iterator[Row]:
    """A row for all that is alike, most frequent first, with its places at the end."""
    for said, at in sorted(alike.items(), key=lambda each: (-len(each[1]), min(each[1]))):
        yield sentence_start(said[0]), *said[1:], sentence_start(addresses_in_words(at))


def _ratio(ratio: float) -> str:
    return f"{ratio:.1f}".removesuffix(".0") + " to 1"
