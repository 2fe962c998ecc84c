"""How long is each item, and the whole, as planned and with nerves? For the page and programs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import time
from fractions import Fraction
from typing import Any

from api.display.words import sentence_start, tempo_words
from planner.event.amounts import plain
from planner.event.times import EventTimes, ItemTimes, TuneTime
from planner.event.timetable import NervousLengths

HEADS = ("Item", "Starts", "Introduction", "Tunes", "Joins", "Lasts")


@dataclass(frozen=True, slots=True)
class TimesView:
    """A table: ``heads``, a row an item, and the row of the whole; ``stops`` in sentences."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    whole: tuple[str, ...]
    tunes: tuple[str, ...]
    stops: tuple[str, ...]


def times_view(times: EventTimes) -> TimesView:
    """The times of an event in words."""
    share = plain(round(100 * times.share, 1))
    slower, planned, quicker = times.ends
    return TimesView(
        heads=(*HEADS, f"{share} % slower", f"{share} % quicker"),
        rows=tuple(_row(each) for each in times.items),
        whole=(
            "All, with the gaps",
            "",
            "",
            "",
            "",
            _whole(times.lengths.planned, planned),
            _whole(times.lengths.slower, slower),
            _whole(times.lengths.quicker, quicker),
        ),
        tunes=tuple(
            f"{item.name}: {'; '.join(_tune(tune) for tune in item.tunes)}."
            for item in times.items
            if item.tunes
        ),
        stops=tuple(_stops(times)),
    )


def times_document(times: EventTimes) -> dict[str, Any]:
    """The times of an event for programs, in seconds."""
    slower, planned, quicker = times.ends
    return {
        "share": times.share,
        **_lengths(times.lengths),
        "ends": {"slower": _clock(slower), "planned": _clock(planned), "quicker": _clock(quicker)},
        "items": [
            {
                "name": each.name,
                "start": _clock(each.start),
                "introduction_seconds": _seconds(each.introduction),
                "joins_seconds": _seconds(each.joins),
                "gap_after_seconds": _seconds(each.gap_after),
                "is_open_ended": each.is_open,
                **_lengths(each.lengths),
                "tunes": [
                    {
                        "title": tune.title,
                        "seconds": _seconds(tune.seconds),
                        "tempo_bpm": float(tune.bpm),
                        "may_stop_at": list(tune.stops),
                    }
                    for tune in each.tunes
                ],
            }
            for each in times.items
        ],
    }


def _row(item: ItemTimes) -> tuple[str, ...]:
    more = ", then until the cue" if item.is_open else ""
    parts = ("", "", "")
    if item.tunes:
        played = sum((tune.seconds for tune in item.tunes), Fraction(0))
        parts = (
            _exact(item.introduction),
            _exact(played),
            _exact(item.joins) if item.joins else "none",
        )
    lengths = item.lengths
    return (
        item.name,
        f"{item.start:%H:%M:%S}" if item.start else "",
        *parts,
        f"{_exact(lengths.planned)}{more}",
        _exact(lengths.slower),
        _exact(lengths.quicker),
    )


def _whole(length: Fraction, end: time | None) -> str:
    until = f", over at {end:%H:%M:%S}" if end else ""
    return f"{_exact(length)}{until}"


def _exact(length: Fraction) -> str:
    """Minutes and seconds to a tenth: ``2:28.8``."""
    minutes, seconds = divmod(round(float(length), 1), 60)
    return f"{minutes:.0f}:{seconds:04.1f}"


def _tune(tune: TuneTime) -> str:
    return f"{tune.title} {_exact(tune.seconds)} at {tempo_words(float(tune.bpm))}"


def _stops(times: EventTimes) -> Iterator[str]:
    for item in times.items:
        for tune in item.tunes:
            if tune.stops:
                places = ", ".join(tune.stops)
                yield sentence_start(f"{tune.title} lasts until the cue and may stop at: {places}.")


def _lengths(lengths: NervousLengths) -> dict[str, float]:
    return {
        "seconds": _seconds(lengths.planned),
        "seconds_slower": _seconds(lengths.slower),
        "seconds_quicker": _seconds(lengths.quicker),
    }


def _seconds(length: Fraction) -> float:
    return round(float(length), 3)


def _clock(at: time | None) -> str | None:
    return at.isoformat(timespec="milliseconds") if at else None
