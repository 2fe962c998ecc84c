"""Which bars does a line or two of ABC hold, written for a tune that is there already?

An altered last bar, or the bars that link one tune to the next: the metre and the key are the
tune's, a plain letter is a quaver unless the text says otherwise with ``[L:1/16]``. Whatever cannot
be read without doubt is refused, since nobody looks over so short a text again.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache

from planner.errors import NotationError
from planner.findings import Finding, Gravity
from planner.music.tempo import Metre
from planner.music.tune import Bar, Tune
from planner.notation.abc import read_abc
from planner.notation.check import check_tune, length_words

__all__ = ["LONGEST", "length_words", "read_passage", "refuse_lengths"]

LONGEST = 2_000
"""How long may a passage be, in letters? Sixteen bars full of gracenotes are shorter."""

REMEDY = "write its notes in ABC, such as {g}A2 {d}A2 for two crotchets"
QUIET = frozenset({"bar_length", "join_length", "metre_unusual", "sharps_unwritten"})
"""What is looked at by whoever knows what stands before and after the passage."""

HEAD, LINE_END = "X:1\nM:{metre}\nL:1/8\nK:{key}\n", "\n"
_HEAD_LINES = re.compile(r"\bline (\d+)")
_MILDER = re.compile(r",? and (it )?is (passed over|left out)$")
"""A file is read all the same, a passage is not."""


@lru_cache(maxsize=1_000)
def read_passage(name: str, text: str, metre: Metre, key: str) -> tuple[Bar, ...]:
    """The bars of a passage in order, numbered from 1, a short bar at its start being bar 0.

    ``name`` is what the passage is, for messages.

    Raises:
        NotationError: it cannot be read, has repeats or several tunes, or leaves the chanter.
    """
    if not text.strip():
        raise NotationError(name, "", "it is empty", REMEDY)
    if len(text) > LONGEST:
        raise NotationError(name, "", "it is too long", f"keep it below {LONGEST:,} letters")
    read = read_abc(HEAD.format(metre=metre, key=key) + text.replace("\r", "") + "\n")
    if len(read) != 1:
        raise NotationError(name, "", "it holds more than bars of music", REMEDY)
    _refuse(name, read[0].findings)
    bars = _bars(name, read[0].tune)
    _refuse(name, check_tune(read[0].tune))
    return bars


def refuse_lengths(name: str, bars: Sequence[Bar], pickups: Collection[Fraction]) -> None:
    """Stop where the bars do not add up: all are full, and the last leaves room for a pick-up.

    ``pickups`` are the lengths in crotchets of the pick-ups that may follow, 0 for none.

    Raises:
        NotationError: it names the bar, what it holds, and what it has to hold.
    """
    for place, bar in enumerate(bars, start=1):
        full, length = bar.metre.bar_length, bar.length
        is_last = place == len(bars)
        wanted = {full - each for each in pickups} if is_last else {full}
        if length in wanted or (bar.is_pickup and not is_last and length < full):
            continue
        where = "" if len(bars) == 1 else f"bar {bar.number}" if bar.number else "the pick-up"
        room = " with the pick-up after it in mind" if wanted != {full} else ""
        asked = " or ".join(length_words(each) for each in sorted(wanted, reverse=True))
        problem = f"it holds {length_words(length)} where {bar.metre} has {length_words(full)}"
        raise NotationError(name, where, problem, f"make it {asked}{room}")


def _bars(name: str, tune: Tune) -> tuple[Bar, ...]:
    bars = [bar for part in tune.parts for bar in part.bars]
    if not any(note.pitch for bar in bars for note in bar.notes):
        raise NotationError(name, "", "it has no notes", REMEDY)
    if any(part.is_repeated for part in tune.parts) or any(bar.ending for bar in bars):
        raise NotationError(name, "", "it has a repeat or an ending", "write every bar out")
    first = 0 if bars[0].is_pickup else 1
    return tuple(
        replace(bar, number=number, starts_line=False) for number, bar in enumerate(bars, first)
    )


def _refuse(name: str, findings: tuple[Finding, ...]) -> None:
    for finding in findings:
        if finding.gravity is not Gravity.NOTE and finding.code not in QUIET:
            problem, _, remedy = finding.text.replace("the tune", "it").partition("; ")
            problem = _MILDER.sub("", problem)
            where = _HEAD_LINES.sub(_own_line, finding.where.removeprefix("part 1, "))
            raise NotationError(name, where, problem, remedy or REMEDY)


def _own_line(found: re.Match[str]) -> str:
    """The line counted from the first one that was written, not from the tune's own head."""
    return f"line {int(found[1]) - HEAD.count(LINE_END)}"
