"""How does one bar look, written and played? The two rows above each other, in milliseconds."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from api.display.drawing.bar_facts import (
    LEAST_MS,
    BarHere,
    bar_here,
    bar_of,
    bar_words,
    shift_words,
    told_of,
)
from api.display.drawing.ink import (
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
from planner.plan import TunePlan

ROW_HEIGHT_PX, GAP_PX = 38.0, 26.0
SIGNS_PX = 16.0
CAPTION = "Above as written, below as played. The figures are milliseconds."
LOOKS = (
    ("note", "as long as written"),
    ("longer", "longer than written"),
    ("pays", "shorter than written: it pays"),
    ("grace", "gracenotes"),
    ("beat", "where a beat is played"),
)


@dataclass(frozen=True, slots=True)
class BarView:
    """The bar that is drawn, and the other bars with marks as (words, place of a note)."""

    figure: Figure
    others: tuple[tuple[str, str], ...]


def bar_view(plan: TunePlan, place: str = "") -> BarView | None:
    """The bar of a note such as ``1/3/0/2``, else the first with a mark; None without either."""
    marked = [bar_of(mark.place.address) for mark in plan.marks]
    asked = tuple(int(each) for each in place.split("/")[:3]) if place else None
    wanted = asked or (marked[0] if marked else None)
    bar = bar_here(plan, wanted) if wanted else None
    if bar is None:
        return None
    others = {
        bar_of(mark.place.address): (
            bar_words(mark.place.address),
            f"{'/'.join(map(str, bar_of(mark.place.address)))}/{mark.place.index}",
        )
        for mark in reversed(plan.marks)
    }
    shown = sorted(each for each in others if each != wanted)
    return BarView(figure_of_bar(bar), tuple(others[each] for each in shown))


def figure_of_bar(bar: BarHere) -> Figure:
    """A bar as it is drawn and told."""
    return Figure(
        key="bar",
        name=f"{bar.name}, written and played",
        words=tuple(told_of(bar)),
        drawn=in_both_frames(lambda frame: _draw(bar, frame)),
        legend=tuple(look for look in LOOKS if look[0] in _looks(bar)),
        caption=CAPTION,
    )


def _looks(bar: BarHere) -> set[str]:
    looks = {"beat", *(note.look for note in bar.notes)}
    is_graced = any(note.written.sounding_ms > note.written.start_ms for note in bar.notes)
    return looks | ({"grace"} if is_graced else set())


def scale_of(bar: BarHere) -> Scale:
    """From the first sound to the last, in milliseconds: wide enough for both rows."""
    rows = [each for note in bar.notes for each in (note.written, note.played)]
    start = min([bar.start_ms, *(each.start_ms for each in rows)])
    return Scale(start, max([bar.played_end_ms, bar.end_ms, *(each.end_ms for each in rows)]))


def _draw(bar: BarHere, frame: Frame) -> Ink:
    scale = scale_of(bar)
    names = tuple(_names_outside(bar, scale, frame))
    names_px = height_of(place_labels(names, frame, 0, 5, above=True))
    written_y = ROW_PX + names_px
    above = place_labels(names, frame, written_y, 5, above=True)
    played_y = written_y + ROW_HEIGHT_PX + GAP_PX
    foot = played_y + ROW_HEIGHT_PX + SIGNS_PX
    below = place_labels(tuple(_shifts(bar, scale)), frame, foot, 6)
    return Ink(
        frame=frame,
        height=foot + height_of(below),
        blocks=(*_blocks(bar, scale, written_y, False), *_blocks(bar, scale, played_y, True)),
        lines=(*_beats(bar, scale, written_y, played_y), *_moves(bar, scale, written_y, played_y),
               *above.threads, *below.threads),
        texts=(*_beat_words(bar, scale, frame), *_texts(above, below),
               *_inside(bar, scale, frame, written_y, False),
               *_inside(bar, scale, frame, played_y, True)),
        signs=tuple(
            Sign(scale.at(note.played.onset_ms), played_y + ROW_HEIGHT_PX + 9, "beat")
            for note in bar.notes if note.is_on_beat
        ),
    )  # fmt: skip


def _texts(*labels: Labels) -> Iterator[Text]:
    for each in labels:
        yield from each.texts


def _blocks(bar: BarHere, scale: Scale, y: float, is_played: bool) -> Iterator[Block]:
    for note in bar.notes:
        timed = note.played if is_played else note.written
        graced = timed.sounding_ms - timed.start_ms
        if graced > 0:
            yield Block(scale.at(timed.start_ms), scale.length(graced), y, ROW_HEIGHT_PX, "grace")
        look = note.look if is_played else "note"
        width = scale.length(timed.length_ms)
        yield Block(scale.at(timed.sounding_ms), width, y, ROW_HEIGHT_PX, look)


def _beats(bar: BarHere, scale: Scale, written_y: float, played_y: float) -> Iterator[Line]:
    top, gap = written_y - 8, written_y + ROW_HEIGHT_PX
    foot = played_y + ROW_HEIGHT_PX
    for beat in bar.beats_ms:
        at = scale.at(beat)
        yield Line(at, top, at, written_y, "limit")
        yield Line(at, gap, at, played_y, "wedge")
    yield Line(scale.at(bar.end_ms), top, scale.at(bar.end_ms), gap, "limit")
    end = scale.at(bar.played_end_ms)
    yield Line(end, played_y, end, foot, "limit")


def _moves(bar: BarHere, scale: Scale, written_y: float, played_y: float) -> Iterator[Line]:
    """From where each note is written to where it is played."""
    for note in bar.notes:
        if abs(note.later_ms) >= LEAST_MS:
            yield Line(
                scale.at(note.written.onset_ms),
                written_y + ROW_HEIGHT_PX,
                scale.at(note.played.onset_ms),
                played_y,
                "move",
            )


def _beat_words(bar: BarHere, scale: Scale, frame: Frame) -> Iterator[Text]:
    end_px = -10.0
    for beat in bar.beats_ms:
        number = round(beat / bar.beat_ms)
        if number < 0:
            continue  # the beats of a pick-up are those before bar 1
        words = Text(scale.at(beat), 14.0, f"beat {number + 1}", "start", "faint", 4.0)
        left, right = words.span(frame)
        if left >= end_px + 8 and right <= frame.width_px:
            end_px = right
            yield words


def _inside(bar: BarHere, scale: Scale, frame: Frame, y: float, is_played: bool) -> Iterator[Text]:
    """Name and milliseconds of each note where its block has room for them."""
    for note in bar.notes:
        timed = note.played if is_played else note.written
        kind = "on-set" if is_played and note.look == "longer" else ""
        room = frame.px(scale.length(timed.length_ms))
        middle = scale.at(timed.sounding_ms + timed.length_ms / 2)
        length = f"{timed.length_ms:.0f}"
        if _has_room(note.name, room):
            yield Text(middle, y + 16, note.name, "middle", f"{kind} strong".strip())
        if _has_room(length, room):
            yield Text(middle, y + 32, length, "middle", kind)


def _has_room(words: str, room_px: float) -> bool:
    return text_width(words) + 5 <= room_px


def _names_outside(bar: BarHere, scale: Scale, frame: Frame) -> Iterator[Wanted]:
    """The notes whose blocks are too short for their names."""
    outside = [
        note for note in bar.notes
        if not _has_room(note.name, frame.px(scale.length(note.written.length_ms)))
    ]  # fmt: skip
    for note in outside:
        middle = note.written.sounding_ms + note.written.length_ms / 2
        yield Wanted(scale.at(middle), note.name)


def _shifts(bar: BarHere, scale: Scale) -> Iterator[Wanted]:
    """What each moved note does, where it is played."""
    for note in bar.notes:
        words = shift_words(note)
        if words:
            yield Wanted(scale.at(note.played.onset_ms), words)
