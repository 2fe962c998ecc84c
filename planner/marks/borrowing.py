"""Who pays for a longer note, and how much can they spare?

The bar never grows: what one note gains its neighbours lose, first the nearest, and the next only
when the nearest has nothing left. No note pays below what its gracenotes need; notes in a tight
corner, very short notes and pick-ups never pay.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import islice

from planner.analysis.analyse import TuneAnalysis
from planner.analysis.beats import PlacedNote
from planner.rules.rulebook import RuleBook


def room(analysis: TuneAnalysis, index: int, rules: RuleBook) -> float:
    """Milliseconds this note can spare; 0 when it may not pay at all."""
    note, written = analysis.notes[index], analysis.written
    is_exempt = note.bar.is_pickup or note.note.is_rest or index in written.tight
    shortest = rules.number("thresholds.note.shortest_in_play")
    if is_exempt or written.length_ms[index] < shortest:
        return 0.0
    after = max((written.beat_index[follower] for follower in note.followers), default=0)
    return max(0.0, written.length_ms[index] - written.minimum_ms(index, after))


def payers_of_hold(analysis: TuneAnalysis, index: int) -> list[PlacedNote]:
    """The notes after a held one in the same beat, as long as they are not longer than it."""
    held = analysis.notes[index]
    payers: list[PlacedNote] = []
    for note in islice(analysis.notes, index + 1, None):
        is_in_beat = (note.bar_index, note.beat_number) == (held.bar_index, held.beat_number)
        if not is_in_beat or note.note.length > held.note.length or note.note.is_rest:
            break
        payers.append(note)
    return payers


def payers_of_lean(analysis: TuneAnalysis, index: int) -> list[PlacedNote]:
    """The notes of the beat that starts where this note ends, in the same bar."""
    leaning = analysis.notes[index]
    payers: list[PlacedNote] = []
    for note in islice(analysis.notes, index + 1, None):
        is_in_bar = note.bar_index == leaning.bar_index
        if not is_in_bar or note.note.is_rest:
            break
        if payers and note.beat_number != payers[0].beat_number:
            break
        payers.append(note)
    return payers


def spread(shift_ms: float, rooms: Sequence[float]) -> list[float]:
    """How late each payer starts when a note before them gains ``shift_ms``.

    The first payer starts the whole shift late; each next one less what those before have paid.
    Payers after the debt is paid are not in the list.

    >>> spread(24.0, [30.0, 50.0])
    [24.0]
    >>> spread(24.0, [20.0, 50.0])
    [24.0, 4.0]
    """
    starts, owed = [], shift_ms
    for spare in rooms:
        if owed <= 0.0:
            break
        starts.append(owed)
        owed -= min(spare, owed)
    return starts
