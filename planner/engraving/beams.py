"""Which notes hang on one beam?

The writer's own joining is kept where the tune has any; else notes are joined within a felt beat.
Gracenotes before one note hang together on three beams.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from planner.engraving.note_values import note_values, written_length
from planner.music.tempo import Metre
from planner.music.tune import Bar, Note, Tune

# Demisemiquavers, the value pipe music gives its gracenotes.
GRACENOTE_BEAMS = 3


def bar_beams(bar: Bar, is_joined_by_writer: bool) -> tuple[tuple[str, ...], ...]:
    """For each note of the bar, MusicXML's beam words from the outermost beam inwards."""
    flags = [_beams_wanted(note) for note in bar.notes]
    joins = _writers_joins(bar) if is_joined_by_writer else _joins_by_beat(bar)
    words: list[tuple[str, ...]] = []
    for group in _groups(flags, joins):
        words += _group_words([bar.notes[index] for index in group], [flags[i] for i in group])
    return tuple(words)


def gracenote_beams(count: int) -> tuple[tuple[str, ...], ...]:
    """The beam words of a group of gracenotes; a single one keeps its flags."""
    if count < 2:
        return ((),) * count
    words = ["begin", *["continue"] * (count - 2), "end"]
    return tuple((word,) * GRACENOTE_BEAMS for word in words)


def is_joined_by_writer(tune: Tune) -> bool:
    """True when the file says which notes hang together."""
    bars = (bar for part in tune.parts for bar in part.bars)
    return any(note.beamed_on for bar in bars for note in bar.notes)


def _beams_wanted(note: Note) -> int:
    values = note_values(written_length(note))
    return 0 if note.is_rest or len(values) != 1 else values[0].flags


def _writers_joins(bar: Bar) -> list[bool]:
    return [note.beamed_on for note in bar.notes]


def _joins_by_beat(bar: Bar) -> list[bool]:
    """True where the next note starts in the same beat; a pick-up sits at its bar's end."""
    beat = _beam_length(bar.metre)
    late_start = max(bar.metre.bar_length - bar.length, Fraction(0)) if bar.is_pickup else 0
    beats = [(late_start + onset) // beat for onset in bar.onsets()]
    return [beats[i] == beats[i + 1] for i in range(len(beats) - 1)] + [False]


def _beam_length(metre: Metre) -> Fraction:
    # 3/8 is felt in quavers, but nobody writes three flags for it
    return metre.bar_length if metre.beat_length < 1 else metre.beat_length


def _groups(flags: Sequence[int], joins: Sequence[bool]) -> list[list[int]]:
    groups: list[list[int]] = []
    for index in range(len(flags)):
        is_joined = index > 0 and joins[index - 1] and flags[index] and flags[index - 1]
        if is_joined:
            groups[-1].append(index)
        else:
            groups.append([index])
    return groups


def _group_words(notes: Sequence[Note], flags: Sequence[int]) -> list[tuple[str, ...]]:
    if len(notes) == 1:
        return [()]
    return [
        tuple(_word(notes, flags, index, level) for level in range(1, flags[index] + 1))
        for index in range(len(notes))
    ]


def _word(notes: Sequence[Note], flags: Sequence[int], index: int, level: int) -> str:
    from_before = index > 0 and flags[index - 1] >= level
    to_next = index + 1 < len(notes) and flags[index + 1] >= level
    if from_before:
        return "continue" if to_next else "end"
    if to_next:
        return "begin"
    return "forward hook" if _hooks_forward(notes, index) else "backward hook"


def _hooks_forward(notes: Sequence[Note], index: int) -> bool:
    """A cut note's short beam points to the dotted note that it belongs to."""
    if index == 0:
        return True
    is_last = index + 1 == len(notes)
    return not is_last and _is_dotted(notes[index + 1]) and not _is_dotted(notes[index - 1])


def _is_dotted(note: Note) -> bool:
    values = note_values(written_length(note))
    return len(values) == 1 and values[0].dots > 0
