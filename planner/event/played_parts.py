"""Which parts of a tune does a set play, in which order, and how often each?

``as_played`` gives the tune as the set plays it, so that its time, its marks and its music follow:
parts that are left out are gone, the others keep their printed numbers and endings. When a part is
played other than as printed, the last time takes its last ending and every time before it an
earlier one (common practice).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from planner.errors import RequestError
from planner.event.altered import with_last_bar
from planner.event.event import Entry
from planner.music.tune import Part, Tune, Turn

AS_PRINTED = 0
"""How often a part is played where nobody says otherwise."""

TIMES_WORDS = {AS_PRINTED: "as printed", 1: "once", 2: "twice", 3: "three times", 4: "four times"}
MOST_TIMES = max(TIMES_WORDS)
EXAMPLE = "write the parts in the order played, such as 1, 2 once, 4"

_WORD = re.compile(r"(\d+)(?:\s+([a-z ]+))?")


def as_played(entry: Entry, tune: Tune) -> Tune:
    """The tune as a set plays it, the last time through; the tune itself where it is as printed.

    Raises:
        RequestError: the tune has no part of a number that is named, or a part is played too often.
        NotationError: its altered last bar cannot be read.
    """
    return with_last_bar(entry, in_turn(entry, tune))


def in_turn(entry: Entry, tune: Tune) -> Tune:
    """The parts an entry names in their turn, the last bar as printed.

    Raises:
        RequestError: the tune has no part of a number that is named, or a part is played too often.
    """
    turns = _turns(entry, tune)
    if not turns:
        return tune
    most = {number: max(times for each, times in turns if each == number) for number, _ in turns}
    parts, *harmonies = (
        tuple(_played(part, most[part.number]) for part in voice if part.number in most)
        for voice in (tune.parts, *tune.harmonies)
    )
    order = tuple(Turn(number, _passes(times, most[number])) for number, times in turns)
    starts = tuple(
        own
        for part, own in zip(tune.parts, tune.phrase_starts, strict=False)
        if part.number in most
    )
    played = replace(tune, parts=parts, phrase_starts=starts, harmonies=tuple(harmonies), order=())
    return played if order == played.turns else replace(played, order=order)


def parts_text(entry: Entry) -> str:
    """The parts as they are typed: ``1, 2 once``; empty text when all are played as printed."""
    return ", ".join(
        f"{number} {TIMES_WORDS[times]}" if times else str(number)
        for number, times in zip(entry.parts, _all_times(entry), strict=True)
    )


def read_parts(text: str, field: str = "parts") -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Parts as they are typed, and how often each is played; the reverse of ``parts_text``.

    Raises:
        RequestError: it names what is no part; ``field`` is where that was typed.
    """
    turns = [_read_turn(word.strip(), field) for word in re.split(r"[,;]", text) if word.strip()]
    times = tuple(count for turn in turns for _, count in turn)
    return tuple(number for turn in turns for number, _ in turn), times if any(times) else ()


def _read_turn(word: str, field: str) -> list[tuple[int, int]]:
    """``2 once`` is one turn; numbers alone may also stand side by side, as in ``1 2``."""
    if all(number.isdigit() for number in word.split()):
        return [(int(number), AS_PRINTED) for number in word.split()]
    said = _WORD.fullmatch(" ".join(word.casefold().split()))
    counts = {words: times for times, words in TIMES_WORDS.items()}
    if said is None or said[2] not in counts:
        raise RequestError(field, f"{word!r} is no part of a tune", EXAMPLE)
    return [(int(said[1]), counts[said[2]])]


def _turns(entry: Entry, tune: Tune) -> list[tuple[int, int]]:
    """Each part in its turn with how often it is played then; none when all is as printed."""
    printed = {part.number: part.times for part in tune.parts}
    for number in entry.parts:
        if number not in printed:
            last = max(printed, default=0)
            raise RequestError(tune.title, f"has no part {number}", f"choose parts 1 to {last}")
    return [
        (number, times or printed[number])
        for number, times in zip(entry.parts, _all_times(entry), strict=True)
    ]


def _all_times(entry: Entry) -> Sequence[int]:
    """How often each part is played, those nobody said anything of as printed."""
    missing = len(entry.parts) - len(entry.part_times)
    if missing < 0:
        raise RequestError("parts", "more counts than parts are given", EXAMPLE)
    for times in entry.part_times:
        if not AS_PRINTED <= times <= MOST_TIMES:
            said = f"a part cannot be played {times} times"
            raise RequestError("parts", said, f"give 1 to {MOST_TIMES}, or 0 for as printed")
    return (*entry.part_times, *[AS_PRINTED] * missing)


def _played(part: Part, times: int) -> Part:
    """The part played so many times: endings that are never reached are gone."""
    if times == part.times:
        return part
    taken = _passes(times, part.times)
    endings = tuple(
        tuple(number for number, printed in enumerate(taken, start=1) if printed in passes)
        for passes in part.endings
    )
    bars = tuple(bar for bar in part.bars if not bar.ending or endings[bar.ending - 1])
    return Part(part.number, bars, times, endings)


def _passes(times: int, of: int) -> tuple[int, ...]:
    """Which of so many passes are played when there are fewer or more: the last one always is."""
    return (*(min(number, max(1, of - 1)) for number in range(1, times)), of)
