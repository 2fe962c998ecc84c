"""What does everybody need to know to be in the right place, dressed, in tune and on time?

No phone number, no health and no pay stand on it unless the band has written them in itself.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from api.display.planned import PlannedEvent, setting_words
from api.display.street import walk_words, way_lines
from api.display.words import (
    clock_words,
    counted,
    day_words,
    length_words,
    sentence,
    sentence_start,
    version_words,
)
from planner.event.event import Clock, Drums, Event, Instrument, Occasion
from planner.event.street.parade import RoutePlan
from planner.event.street.street import StreetSums
from planner.event.timetable import Slot

INSTRUMENT_WORDS = {
    Instrument.PIPES: "Pipes",
    Instrument.SNARE: "Snare",
    Instrument.TENOR: "Tenor",
    Instrument.BASS: "Bass",
}
# Which cautions concern one occasion only?
CAUTIONS_OF = {"dancers_tempo": Occasion.DANCE}


@dataclass(frozen=True, slots=True)
class OrderLineView:
    """One line of the running order."""

    time: str
    what: str
    length: str
    detail: str = ""


@dataclass(frozen=True, slots=True)
class NumbersView:
    """Players of one instrument: how many come, how many are needed, and the word for it."""

    instrument: str
    coming: str
    needed: str
    word: str


@dataclass(frozen=True, slots=True)
class CallSheetView:
    """The call sheet of an event. ``details`` are headings with the band's own text."""

    event: str
    occasion: str
    day: str
    times: tuple[tuple[str, str], ...]
    details: tuple[tuple[str, str], ...]
    order: tuple[OrderLineView, ...]
    numbers: tuple[NumbersView, ...]
    version: str
    sums: tuple[str, ...] = ()
    hazards: str = ""
    cautions: tuple[str, ...] = ()
    findings: tuple[str, ...] = ()


def call_sheet_view(planned: PlannedEvent) -> CallSheetView:
    """The call sheet of an event."""
    event = planned.event
    return CallSheetView(
        event=event.name,
        occasion=sentence_start(setting_words(event.setting)),
        day=day_words(event.day),
        times=_times(event.clock),
        details=tuple(_details(event)),
        order=_with_the_way(order_lines(planned), planned.street),
        numbers=tuple(_numbers(planned)),
        version=version_words(event.version, planned.made_at),
        sums=tuple(_sums(planned)),
        hazards=event.arrangements.hazards,
        cautions=_cautions(planned),
        findings=tuple(dict.fromkeys(sentence(str(each)) for each in planned.findings)),
    )


def for_the_noticeboard(sheet: CallSheetView) -> CallSheetView:
    """The call sheet as it may hang where everybody passes: what is still to settle stays away."""
    return replace(sheet, findings=())


def _times(clock: Clock) -> tuple[tuple[str, str], ...]:
    named = (
        ("Meet", clock.meet),
        ("Tune up", clock.tune_up),
        ("Step-off", clock.step_off),
        ("End", clock.end),
    )
    return tuple((name, clock_words(at)) for name, at in named if at)


def _details(event: Event) -> Iterator[tuple[str, str]]:
    said = event.arrangements
    named = (
        ("Place", said.place),
        ("Dress", said.dress),
        ("Transport", said.transport),
        ("Contact on site", said.contact),
        ("Wet plan", said.wet_plan),
        ("Stop signal", said.stop_signal),
    )
    return ((name, text) for name, text in named if text)


def order_lines(planned: PlannedEvent) -> tuple[OrderLineView, ...]:
    """The running order, an item a line."""
    if planned.timetable is None:
        return ()
    return tuple(_order_line(slot, planned) for slot in planned.timetable.slots)


def _with_the_way(
    order: tuple[OrderLineView, ...], street: StreetSums | None
) -> tuple[OrderLineView, ...]:
    """The running order with the places and halts of the street between its items."""
    if street is None:
        return order
    timed = [(item.from_s, line) for item, line in zip(street.items, order, strict=True)]
    timed += [
        (way.seconds, OrderLineView(way.time, way.what, "", way.where)) for way in way_lines(street)
    ]
    return tuple(line for _, line in sorted(timed, key=lambda pair: pair[0]))


def _order_line(slot: Slot, planned: PlannedEvent) -> OrderLineView:
    found = [each for each in planned.sets if each.set.key == slot.item.set_key]
    length = length_words(slot.seconds)
    return OrderLineView(
        time=clock_words(slot.start),
        what=f"Set {found[0].set.number}: {found[0].set.name}" if found else slot.name,
        length=f"{length}, then until the cue" if slot.is_open_ended else length,
        detail=", ".join(each.tune.title for each in found[0].entries) if found else "",
    )


def _numbers(planned: PlannedEvent) -> Iterator[NumbersView]:
    """Instruments that somebody plays or that are asked for."""
    for instrument, words in INSTRUMENT_WORDS.items():
        coming, needed = planned.line_up.count(instrument), planned.minimum.get(instrument, 0)
        maybe = planned.maybe.get(instrument, 0)
        if coming or needed or maybe:
            yield NumbersView(
                instrument=words,
                coming=f"{coming}, perhaps {maybe} more" if maybe else str(coming),
                needed=str(needed) if needed else "",
                word=_word(coming, needed, planned.event.setting.drums, instrument),
            )


def _word(coming: int, needed: int, drums: Drums, instrument: Instrument) -> str:
    if coming < needed:
        return f"{counted(needed - coming, 'player')} short"
    is_wanted = instrument is Instrument.PIPES or drums is not Drums.NONE
    return "enough" if needed and is_wanted else ""


def _sums(planned: PlannedEvent) -> Iterator[str]:
    """How long it all takes, and how the street is filled."""
    if planned.timetable is not None and planned.timetable.slots:
        length = length_words(planned.timetable.seconds)
        open_end = "; what lasts until the cue is counted once" if _is_open(planned) else ""
        yield f"Running order {length} with its gaps{open_end}."
    yield from planned.contest
    if planned.street is not None:
        yield from _route_sums(planned.street.cover)


def _is_open(planned: PlannedEvent) -> bool:
    return planned.timetable is not None and planned.timetable.is_open_ended


def _route_sums(route: RoutePlan) -> Iterator[str]:
    yield (f"The route takes {walk_words(route)} at {route.metres_per_minute:.0f} metres a minute.")
    if route.rounds_to_fill is not None:
        yield (
            f"The running order fills it {route.rounds_to_fill:.1f} times; "
            f"played once, {route.rest_share:.0%} of the walk is rest."
        )


def _cautions(planned: PlannedEvent) -> tuple[str, ...]:
    occasion = planned.event.setting.occasion
    usual = (
        sentence(text)
        for subject, text in planned.cautions.items()
        if CAUTIONS_OF.get(subject, occasion) is occasion
    )
    return (*usual, *_sound(planned))


def _sound(planned: PlannedEvent) -> Iterator[str]:
    """What the measured level comes to; without one nothing is said of minutes."""
    dose, loudness = planned.dose, planned.event.loudness
    if dose is None or loudness is None:
        return
    where = f", measured {loudness.where}" if loudness.where else ""
    words = f"Sound: {dose.text[:1].lower()}{dose.text[1:].rstrip('.')}{where}"
    if dose.dose_percent is not None:
        words += f"; the running order once is {dose.dose_percent:.0f} % of it"
    yield " ".join((sentence(words), *dose.notes))
