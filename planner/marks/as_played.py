"""Where does what people said of the printed bars belong, when a set plays a tune otherwise?

An altered last bar makes endings out of a bar that had none. What was said of that bar holds for it
as printed; the drums play what they have written there under the altered bar too.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from planner.marks.choices import Choices
from planner.music.drums import BarKey, DrumBar, DrumScore
from planner.music.tune import Tune


def choices_as_played(said: Choices, printed: Tune, played: Tune) -> Choices:
    """What was said of the printed tune, at the addresses it has as a set plays it."""
    if played.parts == printed.parts:
        return said
    there = set(_keys(played))
    by_hand = tuple(
        replace(each, ending=_ending((each.part, each.bar, each.ending), there))
        for each in said.by_hand
    )
    agreed = tuple(
        replace(each, address=replace(each.address, ending=_ending(
            (each.address.part, each.address.bar, each.address.ending), there
        )))
        for each in said.agreements
    )  # fmt: skip
    score = said.drum_score and _with_altered(said.drum_score, printed, played)
    return replace(said, by_hand=by_hand, agreements=agreed, drum_score=score)


def _ending(key: BarKey, there: set[BarKey]) -> int:
    """The first ending, where a bar without endings has got some."""
    part, bar, ending = key
    return 1 if not ending and key not in there and (part, bar, 1) in there else ending


def _with_altered(score: DrumScore, printed: Tune, played: Tune) -> DrumScore:
    known = set(_keys(printed))
    written_at = {key: _printed_at(key, known) for key in _keys(played) if key not in known}
    lines = {voice: _line(line, written_at) for voice, line in score.lines.items()}
    return replace(score, lines=lines)


def _line(
    line: Mapping[BarKey, DrumBar], written_at: Mapping[BarKey, BarKey]
) -> dict[BarKey, DrumBar]:
    more = {key: line[at] for key, at in written_at.items() if at in line and key not in line}
    return {**line, **more}


def _printed_at(key: BarKey, known: set[BarKey]) -> BarKey:
    """The printed bar in whose place it is played: without an ending, or of the last one."""
    part, bar, _ = key
    same = [each for each in known if each[:2] == (part, bar)]
    return max(same, default=key)


def _keys(tune: Tune) -> Iterator[BarKey]:
    return ((part.number, bar.number, bar.ending) for part in tune.parts for bar in part.bars)
