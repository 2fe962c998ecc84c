"""Which of the band's tunes fit a dance, and how many times through is each played?

A tune fits where its own type is danced to and so many times through, alone, make the bars of the
steps; or where it is stopped at the end of a part that makes them. Bars are compared and not beats,
since the same reel is written in cut time and in common time.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from planner.event.dance import Dance, DanceTempo, bars_in_a_step
from planner.event.entry_time import played_beats, stopping_places
from planner.event.event import Entry
from planner.event.programme import tune_type
from planner.music.tune import Tune


@dataclass(frozen=True, slots=True)
class FittingTune:
    """A tune that fills the steps alone: so many times through, then to the end of a part.

    ``stop`` is empty where it ends with the tune. ``bars`` are those of one time through.
    """

    key: str
    title: str
    bars: float
    times_through: int
    stop: str = ""

    @property
    def words(self) -> str:
        """How it is played: ``twice through``, ``once, then to the end of part 2``."""
        if not self.times_through:
            return f"to the {self.stop}"
        times = {1: "once", 2: "twice"}.get(self.times_through, f"{self.times_through} times")
        return f"{times}, then to the {self.stop}" if self.stop else f"{times} through"


@dataclass(frozen=True, slots=True)
class TempoTunes:
    """The tunes for one tempo of a dance, and the bars they have to fill.

    ``others`` are tunes of the right type that come out at no end of a part.
    """

    tempo: DanceTempo
    bars: int
    fitting: tuple[FittingTune, ...]
    others: tuple[str, ...]


def tunes_for_dance(
    dance: Dance, steps: Sequence[int], tunes: Mapping[str, Tune]
) -> tuple[TempoTunes, ...]:
    """The tunes that fit each tempo of a dance, those that end with the tune first."""
    needed = [
        count * bars_in_a_step(tempo) for count, tempo in zip(steps, dance.tempos, strict=True)
    ]
    needed[0] += dance.opening
    return tuple(
        _for_tempo(tempo, bars, tunes) for tempo, bars in zip(dance.tempos, needed, strict=True)
    )


def _for_tempo(tempo: DanceTempo, bars: int, tunes: Mapping[str, Tune]) -> TempoTunes:
    right = {key: tune for key, tune in tunes.items() if tune_type(tune) == tempo.tune_type}
    found = {key: fitting(key, tune, bars) for key, tune in right.items()} if bars else {}
    fits = [each for each in found.values() if each is not None]
    return TempoTunes(
        tempo,
        bars,
        tuple(sorted(fits, key=lambda each: (bool(each.stop), each.times_through, each.title))),
        tuple(sorted(right[key].title for key, each in found.items() if each is None)),
    )


def fitting(key: str, tune: Tune, bars: int) -> FittingTune | None:
    """How a tune fills so many bars alone, None where no end of a part comes out there."""
    entry = Entry(key)
    a_bar = tune.metre.beats_per_bar
    once = played_beats(entry, tune) / a_bar
    if once <= 0:
        return None
    times, rest = divmod(Fraction(bars), once)
    if rest == 0:
        return FittingTune(key, tune.title, float(once), int(times))
    for place in stopping_places(entry, tune):
        if place.beats / a_bar == rest:
            return FittingTune(key, tune.title, float(once), int(times), place.words)
    return None
