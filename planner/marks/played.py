"""When does every sound start and end, with these marks?

A mark changes the written time in three ways only: it moves a beat point, it lets a movement come
earlier or later against its beat, or it plays a movement tighter. Everything else follows. This is
the only timing engine: sheets, sound and comparison with recordings all read this list.

Conventions: milliseconds from the start of the note's own bar (a pick-up counts back from its bar
line); one entry for each printed note.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from planner.analysis.analyse import TuneAnalysis
from planner.music.tune import NotePlace


@dataclass(frozen=True, slots=True)
class Change:
    """What one mark, or all of them together, does to the written time, by note index.

    ``onset_ms`` is added to a beat point, ``beat_index`` to the number of gracenotes before the
    beat; ``gracenote_ms`` replaces the length of one gracenote of a movement. ``growth_ms`` makes a
    bar longer, by bar index: only a breath across the phrase does that.
    """

    onset_ms: Mapping[int, float] = field(default_factory=dict)
    beat_index: Mapping[int, int] = field(default_factory=dict)
    gracenote_ms: Mapping[int, float] = field(default_factory=dict)
    growth_ms: Mapping[int, float] = field(default_factory=dict)


NO_CHANGE = Change()


@dataclass(frozen=True, slots=True)
class PlayedNote:
    """One printed note as it is played.

    ``onset_ms`` is the beat point: the start of the sound that lands on the note's place.
    ``movement_start_ms`` is where its gracenotes begin, ``sounding_ms`` where the note itself does.
    """

    place: NotePlace
    written_onset_ms: float
    onset_ms: float
    movement_start_ms: float
    sounding_ms: float
    sounding_length_ms: float


def play(analysis: TuneAnalysis, change: Change = NO_CHANGE) -> tuple[PlayedNote, ...]:
    """The played list of a tune, each printed note once, with these changes made."""
    written = analysis.written
    starts, soundings, onsets = [], [], []
    for index in range(len(analysis.notes)):
        onset = written.onset_ms[index] + change.onset_ms.get(index, 0.0)
        gracenote = change.gracenote_ms.get(index, written.gracenote_ms[index])
        before = written.beat_index[index] + change.beat_index.get(index, 0)
        after = written.gracenotes[index] - before
        onsets.append(onset)
        starts.append(onset - before * gracenote)
        soundings.append(onset + after * gracenote)
    return tuple(
        PlayedNote(
            place=note.place,
            written_onset_ms=written.onset_ms[index],
            onset_ms=onsets[index],
            movement_start_ms=starts[index],
            sounding_ms=soundings[index],
            sounding_length_ms=_end(analysis, index, starts, change) - soundings[index],
        )
        for index, note in enumerate(analysis.notes)
    )


def combine(changes: Iterable[Change]) -> Change:
    """All changes as one; marks never touch the same note twice, so nothing is added up."""
    onset_ms: dict[int, float] = {}
    beat_index: dict[int, int] = {}
    gracenote_ms: dict[int, float] = {}
    growth_ms: dict[int, float] = {}
    for change in changes:
        onset_ms.update(change.onset_ms)
        beat_index.update(change.beat_index)
        gracenote_ms.update(change.gracenote_ms)
        growth_ms.update(change.growth_ms)
    return Change(onset_ms, beat_index, gracenote_ms, growth_ms)


def _end(analysis: TuneAnalysis, index: int, starts: list[float], change: Change) -> float:
    """Where a note stops: at the start of what sounds next the first time through."""
    written, here = analysis.written, analysis.notes[index]
    bar_end = written.bar_end_ms[index] + change.growth_ms.get(here.bar_index, 0.0)
    if here.follower is None:
        return bar_end
    after = here.follower
    if analysis.notes[after].bar_index == here.bar_index and after == index + 1:
        return starts[after]
    return bar_end + starts[after] - written.bar_start_ms[after]
