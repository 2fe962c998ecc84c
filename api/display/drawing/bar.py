"""How is one bar played against how it is written? Both laid above each other, in milliseconds.

Written means with the idiom's pointing and before any mark. A note's block is as long as the note
sounds; the gracenotes before it have a block of their own, so that the blocks fill the bar. Whoever
sounds shorter than written has paid for somebody's hold.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

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
from api.display.marks import done_words
from api.display.planned_tune import size_words
from api.display.words import bar_name, join_words, sentence, sentence_start
from planner.marks.marks import Mark
from planner.marks.played import PlayedNote, play
from planner.music.tune import Address, beat_text
from planner.plan import TunePlan

ROW_HEIGHT_PX, GAP_PX = 38.0, 26.0
SIGNS_PX = 16.0
LEAST_MS = 0.5
"""What is less than this is as written: far below anything audible."""

CAPTION = "Above as written, below as played. The figures are milliseconds."
LOOKS = (
    ("note", "as long as written"),
    ("longer", "longer than written"),
    ("pays", "shorter than written: it pays"),
    ("grace", "gracenotes"),
    ("beat", "where a beat is played"),
)


@dataclass(frozen=True, slots=True)
class Timed:
    """A note in one of the two rows, in milliseconds from the start of its bar.

    ``onset_ms`` is its beat point; its gracenotes begin at ``start_ms``, the note itself sounds
    from ``sounding_ms`` to ``end_ms``.
    """

    onset_ms: float
    start_ms: float
    sounding_ms: float
    end_ms: float

    @property
    def length_ms(self) -> float:
        """How long the note sounds."""
        return self.end_ms - self.sounding_ms


@dataclass(frozen=True, slots=True)
class NoteHere:
    """A note of the bar, written and played; ``beat`` in felt beats from 1."""

    name: str
    beat: str
    is_on_beat: bool
    written: Timed
    played: Timed

    @property
    def later_ms(self) -> float:
        """How much later than written its beat point is, negative when earlier."""
        return self.played.onset_ms - self.written.onset_ms

    @property
    def gracenotes_later_ms(self) -> float:
        """How much later its gracenotes begin."""
        return self.played.start_ms - self.written.start_ms

    @property
    def gracenotes_longer_ms(self) -> float:
        """How much longer its gracenotes take together, negative when they are tighter."""
        written, played = self.written, self.played
        return (played.sounding_ms - played.start_ms) - (written.sounding_ms - written.start_ms)

    @property
    def longer_ms(self) -> float:
        """How much longer than written it sounds, negative when it pays."""
        return self.played.length_ms - self.written.length_ms

    @property
    def look(self) -> str:
        """How its played block looks."""
        if abs(self.longer_ms) < LEAST_MS:
            return "note"
        return "longer" if self.longer_ms > 0 else "pays"


@dataclass(frozen=True, slots=True)
class BarHere:
    """One bar: its notes, its edges and the length of a felt beat, in milliseconds.

    ``end_ms`` is the bar line as written, ``played_end_ms`` as played: later only after a breath.
    """

    name: str
    notes: tuple[NoteHere, ...]
    start_ms: float
    end_ms: float
    played_end_ms: float
    beat_ms: float
    marks: tuple[Mark, ...] = ()

    @property
    def beats_ms(self) -> tuple[float, ...]:
        """Where the written beats lie, counted from the start of a full bar."""
        first = round(self.start_ms / self.beat_ms)
        count = round((self.end_ms - self.start_ms) / self.beat_ms)
        return tuple(self.beat_ms * (first + at) for at in range(max(1, count)))


@dataclass(frozen=True, slots=True)
class BarView:
    """The bar that is drawn, and the other bars with marks as (words, place of a note)."""

    figure: Figure
    others: tuple[tuple[str, str], ...]


def bar_view(plan: TunePlan, place: str = "") -> BarView | None:
    """The bar of a note such as ``1/3/0/2``, else the first with a mark; None without either."""
    marked = [_bar_of(mark.place.address) for mark in plan.marks]
    asked = tuple(int(each) for each in place.split("/")[:3]) if place else None
    wanted = asked or (marked[0] if marked else None)
    bar = bar_here(plan, wanted) if wanted else None
    if bar is None:
        return None
    others = {
        _bar_of(mark.place.address): (
            _name(mark.place.address),
            f"{'/'.join(map(str, _bar_of(mark.place.address)))}/{mark.place.index}",
        )
        for mark in reversed(plan.marks)
    }
    shown = sorted(each for each in others if each != wanted)
    return BarView(figure_of_bar(bar), tuple(others[each] for each in shown))


def bar_here(plan: TunePlan, wanted: tuple[int, ...]) -> BarHere | None:
    """One bar of a plan by part, bar and ending; None where it has no notes."""
    unmarked, written = play(plan.analysis), plan.analysis.written
    here = [n.index for n in plan.analysis.notes if _bar_of(n.address) == wanted]
    if not here:
        return None
    first = plan.analysis.notes[here[0]]
    grown = plan.change.growth_ms.get(first.bar_index, 0.0)
    return BarHere(
        name=_name(first.address),
        notes=tuple(
            NoteHere(
                name=note.place.note,
                beat=beat_text(note.address.beat),
                is_on_beat=note.is_on_beat,
                written=_timed(unmarked[note.index]),
                played=_timed(plan.played[note.index]),
            )
            for note in (plan.analysis.notes[index] for index in here)
        ),
        start_ms=written.bar_start_ms[first.index],
        end_ms=written.bar_end_ms[first.index],
        played_end_ms=written.bar_end_ms[first.index] + grown,
        beat_ms=plan.analysis.tempo.beat_ms,
        marks=tuple(mark for mark in plan.marks if _bar_of(mark.place.address) == wanted),
    )


def _timed(note: PlayedNote) -> Timed:
    return Timed(
        onset_ms=note.onset_ms,
        start_ms=note.movement_start_ms,
        sounding_ms=note.sounding_ms,
        end_ms=note.sounding_ms + note.sounding_length_ms,
    )


def _bar_of(address: Address) -> tuple[int, ...]:
    return address.part, address.bar, address.ending


def _name(address: Address) -> str:
    bar = f"bar {bar_name(address)}" if address.bar else "the pick-up"
    return f"Part {address.part}, {bar}"


def figure_of_bar(bar: BarHere) -> Figure:
    """A bar as it is drawn and told."""
    return Figure(
        key="bar",
        name=f"{bar.name}, written and played",
        words=tuple(_told(bar)),
        drawn=in_both_frames(lambda frame: _draw(bar, frame)),
        legend=tuple(look for look in LOOKS if look[0] in _looks(bar)),
        caption=CAPTION,
    )


def _told(bar: BarHere) -> Iterator[str]:
    yield f"{bar.name}: {_ms(bar.end_ms - bar.start_ms)} as written, a beat {_ms(bar.beat_ms)}."
    if bar.played_end_ms - bar.end_ms >= LEAST_MS:
        yield f"It is played {_ms(bar.played_end_ms - bar.end_ms)} longer."
    for mark in bar.marks:
        yield sentence(sentence_start(f"{done_words(mark)}, {size_words(mark)}"))
    for note in bar.notes:
        written, played = note.written, note.played
        yield (
            f"Beat {note.beat}, {note.name}: written from {_ms(written.onset_ms)} for "
            f"{_ms(written.length_ms)}, played from {_ms(played.onset_ms)} for "
            f"{_ms(played.length_ms)}{_difference(note)}."
        )


def _ms(amount: float) -> str:
    return f"{round(amount) + 0} ms"


def _difference(note: NoteHere) -> str:
    moved = _shift_words(note).removeprefix(f"{note.name} ")
    told = [moved] if moved else []
    if abs(note.longer_ms) >= LEAST_MS:
        longer = "longer" if note.longer_ms > 0 else "shorter: it pays"
        told.append(f"{_ms(abs(note.longer_ms))} {longer}")
    return f"; {join_words(told)}" if told else ""


def _shift(ms: float) -> str:
    return f"{_ms(abs(ms))} {'later' if ms > 0 else 'earlier'}"


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
        words = _shift_words(note)
        if words:
            yield Wanted(scale.at(note.played.onset_ms), words)


def _shift_words(note: NoteHere) -> str:
    """What is done to a note: to its beat point, else to its gracenotes."""
    if abs(note.later_ms) >= LEAST_MS:
        return f"{note.name} {_shift(note.later_ms)}"
    if abs(note.gracenotes_longer_ms) >= LEAST_MS:
        longer = "longer" if note.gracenotes_longer_ms > 0 else "shorter"
        return f"gracenotes {_ms(abs(note.gracenotes_longer_ms))} {longer}"
    if abs(note.gracenotes_later_ms) >= LEAST_MS:
        return f"gracenotes {_shift(note.gracenotes_later_ms)}"
    return ""
