"""What does the street say in words? How long the walk is, where each set starts, and past what.

``strip_of`` gives the same in plain metres, for a drawing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import time

from api.display.words import clock_words, counted, join_words, length_words, sentence_start
from planner.event.amounts import plain
from planner.event.route import Route, Wanted
from planner.event.street.parade import RoutePlan
from planner.event.street.places import PassedPlace
from planner.event.street.street import StreetItem, StreetStretch, StreetSums

SLOPE_WORDS = {"level": "level", "up": "uphill", "down": "downhill"}
Row = tuple[str, str, str, str, str, str]
WANTED_WORDS = {Wanted.SOUNDING: "be sounding", Wanted.SILENT: "be silent"}


@dataclass(frozen=True, slots=True)
class PlaceLineView:
    """One place along the route: what is wanted there, and whether it is so."""

    name: str
    wanted: str
    where: str
    when: str
    word: str
    remedy: str = ""
    is_as_wanted: bool = True


@dataclass(frozen=True, slots=True)
class StreetView:
    """The street: sentences, places, and rows of two tables.

    ``items`` are (name, clock, from, metres, length, times to fill the route), ``stretches``
    (name, slope, from and to, pace, length, halt).
    """

    lines: tuple[str, ...]
    items: tuple[Row, ...]
    stretches: tuple[Row, ...] = ()
    places: tuple[PlaceLineView, ...] = ()


@dataclass(frozen=True, slots=True)
class WayLineView:
    """What everybody has to know on the way: when, at which metre, and what.

    ``seconds`` from step-off put it in the order of the day.
    """

    time: str
    where: str
    what: str
    seconds: float


@dataclass(frozen=True, slots=True)
class StripPieceView:
    """A piece of the route for a drawing, in metres; ``kind`` is its slope, or what is wanted."""

    name: str
    kind: str
    from_m: float
    to_m: float
    start: str = ""
    is_as_wanted: bool = True


@dataclass(frozen=True, slots=True)
class StripView:
    """The route as a strip from 0 to ``length_m``; ``halts`` are (metre, words)."""

    length_m: float
    stretches: tuple[StripPieceView, ...]
    items: tuple[StripPieceView, ...]
    places: tuple[StripPieceView, ...]
    halts: tuple[tuple[float, str], ...]


def street_view(sums: StreetSums, route: Route) -> StreetView:
    """The street in words and tables; stretches only where there are some."""
    stretches = tuple(_stretch(number, each) for number, each in enumerate(sums.stretches, start=1))
    return StreetView(
        lines=tuple(_lines(sums, route)),
        items=tuple(_item(item) for item in sums.items),
        stretches=stretches if route.stretches else (),
        places=tuple(_place(place) for place in sums.places),
    )


def walk_words(cover: RoutePlan) -> str:
    """``22 min 8 s``; with halts ``24 min 8 s (2 min of it in halts)``."""
    whole = length_words(cover.minutes * 60)
    if not cover.halted_minutes:
        return whole
    return f"{whole} ({length_words(cover.halted_minutes * 60)} of it in halts)"


def way_lines(street: StreetSums) -> tuple[WayLineView, ...]:
    """Every place and halt of the route in order, for the sheets everybody reads."""
    told = [_place_line(place) for place in street.places if not place.is_halt]
    told += [_halt_line(each) for each in street.stretches if each.halt_s]
    return tuple(sorted(told, key=lambda line: line.seconds))


def start_words(item: StreetItem) -> str:
    """``62 m``: where on the route it starts."""
    return "after the end of the route" if item.is_past_the_end else f"{item.from_m:.0f} m"


def strip_of(street: StreetSums) -> StripView:
    """The route for a drawing."""
    return StripView(
        length_m=street.stretches[-1].to_m,
        stretches=tuple(
            StripPieceView(each.name, each.slope, each.from_m, each.to_m)
            for each in street.stretches
        ),
        items=tuple(
            StripPieceView(
                item.name,
                "set" if item.is_set else "words",
                item.from_m,
                item.from_m + item.metres,
                clock_words(item.start),
            )
            for item in street.items
        ),
        places=tuple(
            StripPieceView(
                place.name,
                place.wanted.value,
                place.from_m,
                place.to_m,
                clock_words(place.start),
                not place.amiss,
            )
            for place in street.places
        ),
        halts=tuple((each.to_m, f"{each.halt_s:g} s") for each in street.stretches if each.halt_s),
    )


def _lines(sums: StreetSums, route: Route) -> Iterator[str]:
    cover = sums.cover
    slopes = "" if _is_level(sums.stretches) else " on the level"
    yield (
        f"{route.length_m:g} m at {route.steps_per_minute:g} paces a minute of "
        f"{route.pace_m:g} m{slopes} take {walk_words(cover)}, "
        f"{cover.metres_per_minute:.1f} m a minute."
    )
    if cover.rounds_to_fill:
        yield (
            f"The running order fits the route {cover.rounds_to_fill:.1f} times: playing "
            f"{cover.playing_share:.0%} of the walk when it is played once, "
            f"{cover.rest_share:.0%} is rest."
        )
    if sums.delay:
        yield (
            f"Along a column of {route.column_m:g} m the front rank is heard "
            f"{sums.delay.ms:.0f} ms late at the back, {sums.delay.share_of_beat:.1%} of a beat."
        )


def _is_level(stretches: Iterable[StreetStretch]) -> bool:
    return all(each.slope == "level" for each in stretches)


def _item(item: StreetItem) -> Row:
    return (
        item.name,
        _to_the_second(item.start),
        start_words(item),
        f"{item.metres:.0f} m",
        length_words(item.seconds),
        counted(item.times_to_fill, "time") if item.times_to_fill else "",
    )


def _stretch(number: int, stretch: StreetStretch) -> Row:
    silence = ", silent" if stretch.halt_is_silent else ", may play"
    return (
        sentence_start(stretch.name) or f"Stretch {number}",
        SLOPE_WORDS[stretch.slope],
        f"{plain(stretch.from_m)} to {plain(stretch.to_m)} m",
        f"{plain(stretch.pace_m)} m",
        length_words(stretch.seconds),
        f"{length_words(stretch.halt_s)}{silence}" if stretch.halt_s else "",
    )


def _place(place: PassedPlace) -> PlaceLineView:
    remedies = [each.remedy for each in place.amiss]
    return PlaceLineView(
        name=sentence_start(place.name),
        wanted=WANTED_WORDS[place.wanted],
        where=_where(place.from_m, place.to_m),
        when=_when(place),
        word=_word(place),
        remedy=f"{sentence_start(join_words(remedies))}." if remedies else "",
        is_as_wanted=not place.amiss,
    )


def _word(place: PassedPlace) -> str:
    if not place.amiss:
        return "as wanted"
    seconds = max(1, round(sum(each.seconds for each in place.amiss)))
    metres = round(sum(each.metres for each in place.amiss))
    much = f"{seconds} s, {metres} m" if metres else f"{seconds} s"
    if place.wanted is Wanted.SILENT:
        names = join_words([each.item for each in place.amiss])
        return f"{names} plays on for {much}"
    return f"no tune for {much}"


def _where(from_m: float, to_m: float) -> str:
    start, end = plain(from_m), plain(to_m)
    return f"{start} m" if start == end else f"{start} to {end} m"


def _when(place: PassedPlace) -> str:
    if place.start is None or place.end is None:
        return "not known"
    start, end = _to_the_second(place.start), _to_the_second(place.end)
    return start if start == end else f"{start} to {end}"


def _to_the_second(at: time | None) -> str:
    return f"{at:%H:%M:%S}".removesuffix(":00") if at else ""


def _place_line(place: PassedPlace) -> WayLineView:
    what = f"{sentence_start(place.name)}: {WANTED_WORDS[place.wanted]}"
    where = _where(place.from_m, place.to_m)
    return WayLineView(clock_words(place.start), where, what, place.from_s)


def _halt_line(stretch: StreetStretch) -> WayLineView:
    after = f" after {stretch.name}" if stretch.name else ""
    how = "be silent" if stretch.halt_is_silent else "the band may play"
    what = f"Halt of {length_words(stretch.halt_s)}{after}: {how}"
    return WayLineView(clock_words(stretch.end), f"{plain(stretch.to_m)} m", what, stretch.end_s)
