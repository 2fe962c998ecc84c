"""How does the route look? Its slopes and halts, the places on it, and which set is played where.

Everything lies at its metre from step-off. How steep a slope is nobody has said, so uphill is only
drawn as rising. What would be played after the end of the route lies beyond its end.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from api.display.drawing.ink import (
    FONT_PX,
    ROW_PX,
    Block,
    Figure,
    Frame,
    Ink,
    Line,
    Scale,
    Sign,
    Text,
    in_both_frames,
    text_width,
)
from api.display.drawing.labels import Labels, Wanted, height_of, place_labels
from api.display.street import SLOPE_WORDS, StripPieceView, StripView
from api.display.words import sentence, sentence_start
from planner.event.amounts import plain

PLACES_PX, PROFILE_PX, SETS_PX = 22.0, 34.0, 30.0
RISE = {"up": 1, "down": -1}
WANTED_WORDS = {"sounding": "be sounding", "silent": "be silent"}
LEAST_PLACE_PX = 4.0
ROUND_STEPS = (1, 2, 5)
LOOKS = (
    ("set", "a set, with its number"),
    ("words", "something else in the running order"),
    ("over", "after the end of the route"),
    ("sounding", "be sounding here"),
    ("silent", "be silent here"),
    ("amiss", "not as wanted"),
    ("halt", "a halt"),
)


def route_figure(strip: StripView, numbers: Mapping[str, str]) -> Figure:
    """The route as a strip; ``numbers`` are those of its sets, by name."""
    return Figure(
        key="route",
        name="The route as a line, to scale",
        words=tuple(_told(strip)),
        drawn=in_both_frames(lambda frame: _draw(strip, numbers, frame)),
        legend=tuple(look for look in LOOKS if look[0] in _looks(strip)),
    )


def metre_ticks(length_m: float, most: int) -> tuple[float, ...]:
    """Round metres from 0 on, as far as the route goes: at most so many steps."""
    step = 1.0
    while True:
        for each in ROUND_STEPS:
            if length_m / (step * each) <= most:
                count = int(length_m // (step * each))
                return tuple(step * each * number for number in range(count + 1))
        step *= 10


def _told(strip: StripView) -> Iterator[str]:
    yield f"The route is {plain(strip.length_m)} m long."
    halts = dict(strip.halts)
    for each in strip.stretches:
        halt = f", then a halt of {halts[each.to_m]}" if each.to_m in halts else ""
        name = f"{each.name}, " if each.name else ""
        yield f"{_metres(each)}: {name}{SLOPE_WORDS[each.kind]}{halt}."
    for place in strip.places:
        is_so = "as wanted" if place.is_as_wanted else "not as wanted"
        yield f"{_metres(place)}: {place.name}, {WANTED_WORDS[place.kind]}; {is_so}."
    for item in strip.items:
        at = f", from {item.start}" if item.start else ""
        yield sentence(f"{_metres(item)}: {item.name}{at}{_beyond(item, strip.length_m)}")


def _metres(piece: StripPieceView) -> str:
    start, end = f"{piece.from_m:.0f}", f"{piece.to_m:.0f}"
    return f"{start} m" if start == end else f"{start} to {end} m"


def _beyond(item: StripPieceView, length_m: float) -> str:
    over = item.to_m - max(length_m, item.from_m)
    return f", {over:.0f} m of it after the end of the route" if over >= 1 else ""


def _looks(strip: StripView) -> set[str]:
    looks = {each.kind for each in (*strip.items, *strip.places)}
    looks |= {"amiss"} if any(not place.is_as_wanted for place in strip.places) else set()
    looks |= {"halt"} if strip.halts else set()
    return looks | ({"over"} if _end_of(strip) > strip.length_m + 1 else set())


def _end_of(strip: StripView) -> float:
    return max([strip.length_m, *(each.to_m for each in strip.items)])


def _draw(strip: StripView, numbers: Mapping[str, str], frame: Frame) -> Ink:
    scale = Scale(0.0, _end_of(strip))
    wanted = tuple(_wanted_above(strip, scale))
    rows = 6
    top = height_of(place_labels(wanted, frame, 0, rows, above=True))
    above = place_labels(wanted, frame, top, rows, above=True)
    profile_y = top + PLACES_PX
    scale_y = profile_y + PROFILE_PX + ROW_PX
    sets_y = scale_y + ROW_PX
    below = place_labels(tuple(_wanted_below(strip, scale)), frame, sets_y + SETS_PX, rows)
    return Ink(
        frame=frame,
        height=sets_y + SETS_PX + height_of(below),
        blocks=(
            *_zones(strip, scale, frame, top, sets_y + SETS_PX),
            *_places(strip, scale, frame, top),
            *_sets(strip, scale, sets_y),
        ),
        lines=(
            *_profile(strip, scale, profile_y),
            *_ticks(strip, scale, frame, sets_y),
            Line(0.0, sets_y + SETS_PX, 100.0, sets_y + SETS_PX, "axis"),
            *above.threads,
            *below.threads,
        ),
        texts=(
            *_words(above, below),
            *_stretch_names(strip, scale, frame, profile_y + PROFILE_PX + FONT_PX),
            *_metre_words(strip, scale, frame, scale_y + FONT_PX),
            *_numbers(strip, numbers, scale, frame, sets_y),
        ),
        signs=tuple(_signs(strip, scale, top, profile_y)),
    )


def _words(*labels: Labels) -> Iterator[Text]:
    for each in labels:
        yield from each.texts


def _wanted_above(strip: StripView, scale: Scale) -> Iterator[Wanted]:
    halts = {metre for metre, _ in strip.halts}
    silent_halts = {each.from_m: each for each in strip.places if _is_halt(each, halts)}
    for place in strip.places:
        if place.from_m not in silent_halts:
            middle = scale.at((place.from_m + place.to_m) / 2)
            yield _wanted(middle, sentence_start(place.name), place.is_as_wanted)
    for metre, words in strip.halts:
        place_there = silent_halts.get(metre)
        silent = ", be silent" if place_there else ""
        is_so = place_there is None or place_there.is_as_wanted
        yield _wanted(scale.at(metre), f"Halt {words}{silent}", is_so)


def _is_halt(place: StripPieceView, halts: set[float]) -> bool:
    return place.kind == "silent" and place.from_m == place.to_m and place.from_m in halts


def _wanted(x: float, words: str, is_as_wanted: bool) -> Wanted:
    return Wanted(x, words, "label" if is_as_wanted else "label strong")


def _wanted_below(strip: StripView, scale: Scale) -> Iterator[Wanted]:
    for item in strip.items:
        metre = f"{item.from_m:.0f} m"
        yield Wanted(scale.at(item.from_m), f"{metre}: {item.name}", short=metre)


def _zones(
    strip: StripView, scale: Scale, frame: Frame, top: float, foot: float
) -> Iterator[Block]:
    for place in strip.places:
        x, width = _span(place, scale, frame)
        yield Block(x, width, top, foot - top, "zone")


def _places(strip: StripView, scale: Scale, frame: Frame, top: float) -> Iterator[Block]:
    for place in strip.places:
        x, width = _span(place, scale, frame)
        yield Block(x, width, top, 10.0, place.kind)


def _span(place: StripPieceView, scale: Scale, frame: Frame) -> tuple[float, float]:
    """From where and how wide: a place at one metre is as wide as can be seen."""
    least = frame.percent(LEAST_PLACE_PX)
    width = max(least, scale.length(place.to_m - place.from_m))
    return min(scale.at(place.from_m), 100.0 - width), width


def _sets(strip: StripView, scale: Scale, y: float) -> Iterator[Block]:
    for item in strip.items:
        yield Block(
            scale.at(item.from_m), scale.length(item.to_m - item.from_m), y, SETS_PX, item.kind
        )
    over = _end_of(strip) - strip.length_m
    if over >= 1:
        yield Block(scale.at(strip.length_m), scale.length(over), y, SETS_PX, "over")


def heights(strip: StripView) -> tuple[float, ...]:
    """How high the street lies at each joint of its stretches: 0 lowest, 1 highest."""
    levels = [0]
    for each in strip.stretches:
        levels.append(levels[-1] + RISE.get(each.kind, 0))
    low, high = min(levels), max(levels)
    return tuple((level - low) / (high - low) if high > low else 0.5 for level in levels)


def _height_px(share: float, y: float) -> float:
    return y + 6 + (1 - share) * (PROFILE_PX - 12)


def _profile(strip: StripView, scale: Scale, y: float) -> Iterator[Line]:
    ends = [_height_px(share, y) for share in heights(strip)]
    for each, start, end in zip(strip.stretches, ends, ends[1:], strict=False):
        yield Line(scale.at(each.from_m), start, scale.at(each.to_m), end, "street")
    for each, end in zip(strip.stretches, ends[1:], strict=False):
        yield Line(scale.at(each.to_m), end, scale.at(each.to_m), y + PROFILE_PX + ROW_PX, "wedge")


def _stretch_names(strip: StripView, scale: Scale, frame: Frame, y: float) -> Iterator[Text]:
    if len(strip.stretches) < 2:
        return
    for each in strip.stretches:
        room = frame.px(scale.length(each.to_m - each.from_m)) - 8
        slope = SLOPE_WORDS[each.kind]
        full = f"{each.name}, {slope}" if each.name else slope
        words = full if text_width(full) <= room else slope
        if text_width(words) <= room:
            yield Text(scale.at(each.from_m), y, words, "start", "faint", 4.0)


def _ticks(strip: StripView, scale: Scale, frame: Frame, y: float) -> Iterator[Line]:
    for metre in metre_ticks(strip.length_m, _most_ticks(frame)):
        yield Line(scale.at(metre), y - 4, scale.at(metre), y, "tick")
    yield Line(scale.at(strip.length_m), y - 8, scale.at(strip.length_m), y + SETS_PX, "limit")


def _most_ticks(frame: Frame) -> int:
    return int(frame.width_px // 75)


def _metre_words(strip: StripView, scale: Scale, frame: Frame, y: float) -> Iterator[Text]:
    """The round metres, those away that would touch the length of the route."""
    end = Text(scale.at(strip.length_m), y, f"{plain(strip.length_m)} m", "end", "strong", -5.0)
    for metre in metre_ticks(strip.length_m, _most_ticks(frame)):
        anchor = "start" if metre == 0 else "middle"
        each = Text(scale.at(metre), y, f"{metre:.0f}", anchor, "faint")
        if each.span(frame)[1] + 6 < end.span(frame)[0]:
            yield each
    yield end


def _numbers(
    strip: StripView, numbers: Mapping[str, str], scale: Scale, frame: Frame, y: float
) -> Iterator[Text]:
    for item in strip.items:
        number = numbers.get(item.name, "") if item.kind == "set" else ""
        room = frame.px(scale.length(item.to_m - item.from_m)) - 4
        if number and text_width(number) <= room:
            middle = scale.at((item.from_m + item.to_m) / 2)
            yield Text(middle, y + 20, number, "middle", "on-set")


def _signs(strip: StripView, scale: Scale, top: float, profile_y: float) -> Iterator[Sign]:
    for place in strip.places:
        if not place.is_as_wanted:
            yield Sign(scale.at((place.from_m + place.to_m) / 2), top + 16, "amiss")
    ends = dict(zip([each.to_m for each in strip.stretches], heights(strip)[1:], strict=True))
    for metre, _ in strip.halts:
        yield Sign(scale.at(metre), _height_px(ends[metre], profile_y), "halt")
