"""Which dance is a set played for, as the set says it is danced?

The dance on record, with the set's own bars of a turn where it has them. Where the beats of a bar
are not on record, the tune that is played says them.
"""

from __future__ import annotations

from collections.abc import Mapping

from planner.event.dance import Dance, find_dance, with_own_bars
from planner.event.event import Set
from planner.music.tune import Tune
from planner.rules.rulebook import RuleBook


def danced(a_set: Set, tunes: Mapping[str, Tune], rulebook: RuleBook) -> Dance:
    """The dance of a set.

    Raises:
        RequestError: no such dance is on record.
    """
    dance = with_own_bars(find_dance(a_set.dance, rulebook), bars_per_step=a_set.bars_per_step)
    first = tunes.get(a_set.entries[0].tune_key) if a_set.entries else None
    if first is None or all(tempo.beats_per_bar for tempo in dance.tempos):
        return dance
    return with_own_bars(dance, beats_per_bar=first.metre.beats_per_bar)


def steps_text(a_set: Set) -> str:
    """The steps as people write them: ``6``, ``3+1``, ``8x48``."""
    steps = "+".join(map(str, a_set.steps))
    return f"{steps}x{a_set.bars_per_step}" if steps and a_set.bars_per_step else steps
