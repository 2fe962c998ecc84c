"""What does the page of an event say? The day, how free each tune is, what the drums must know."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from api.display.own_bars import own_bar_lines
from api.display.pages.not_ready import what_is_not_ready
from api.display.paper.drum_sheet import verdict_words
from api.display.planned import PlannedEvent, PlannedSet, setting_words, strictness_word
from api.display.planned_tune import (
    SAID_ONCE,
    FindingView,
    PlannedTuneView,
    planned_tune_view,
)
from api.display.words import (
    clock_words,
    counted,
    day_words,
    join_words,
    length_words,
    sentence,
    sentence_start,
)
from planner.event.event import Arrangements, Circumstance, Clock, Drums, Instrument, Setting
from planner.event.timetable import Slot
from planner.findings import Finding
from planner.plan import TunePlan

CIRCUMSTANCE_WORDS = {
    Circumstance.LEARNERS: "learners in the line-up",
    Circumstance.FEW_PRACTICES: "fewer than two practices together",
    Circumstance.LONG_COLUMN: "a column longer than about 20 m",
    Circumstance.NO_SIGHT: "not everybody sees the pipe-major's foot",
    Circumstance.BORROWED_DRUMMERS: "borrowed drummers",
    Circumstance.POOR_FOOTING: "poor footing",
}
DRUM_WORDS = {
    Drums.FULL: "full corps",
    Drums.BASS: "bass drum alone",
    Drums.NONE: "no drums",
}
SHEETS = (
    ("Set cards", "set-cards.pdf"),
    ("Phrased music", "phrased-music.pdf"),
    ("Drum sheet", "drum-sheet.pdf"),
    ("Call sheet", "call-sheet.pdf"),
)
# How many sets of an event lie open on its page? More are folded, so that all is seen at once.
MOST_OPEN_SETS = 2
STRICTNESS = {
    "strict": "Strict tempo",
    "agreed": "Strict but where agreed",
    "free": "Free where it is marked",
}


@dataclass(frozen=True, slots=True)
class OrderItemView:
    """One item of the running order: a set with its tunes, or words.

    ``music`` is where the set can be heard; empty where no tune of it has notes on file.
    """

    name: str
    start: str
    length: str
    number: str = ""
    address: str = ""
    facts: str = ""
    tunes: tuple[PlannedTuneView, ...] = ()
    gap: str = ""
    music: str = ""


@dataclass(frozen=True, slots=True)
class EventView:
    """The page of an event. ``times`` are (name, clock), the clock empty where nobody has said."""

    address: str
    version: str
    name: str
    occasion: str
    day: str
    place: str
    drum_words: str
    times: tuple[tuple[str, str], ...]
    circumstances: tuple[tuple[str, str], ...]
    not_ready: tuple[FindingView, ...]
    order: tuple[OrderItemView, ...]
    length: str
    arrangements: tuple[tuple[str, str], ...]
    line_up: str
    sheets: tuple[tuple[str, str], ...]
    waiting: str = ""
    notes: tuple[str, ...] = ()
    is_long: bool = False


def event_view(
    planned: PlannedEvent, version: int, findings: Iterable[Finding], waiting: int = 0
) -> EventView:
    """The page of an event; ``waiting`` counts the people who have not said yes or no."""
    event, address = planned.event, f"/events/{planned.event.key}"
    plans = [plan for each in planned.sets for plan in each.plans]
    return EventView(
        address=address,
        version=str(version),
        name=event.name,
        occasion=setting_words(event.setting),
        day=day_words(event.day),
        place=event.arrangements.place,
        drum_words=verdict_words(plans) if plans else "",
        times=times_of_day(event.clock),
        circumstances=circumstance_words(event.setting),
        not_ready=what_is_not_ready(planned, findings),
        order=_order(planned),
        length=_length(planned),
        arrangements=_arrangements(event.arrangements),
        line_up=line_up_words(planned),
        sheets=_sheets(planned, address),
        waiting=sentence_start(f"{counted(waiting, 'answer')} still open.") if waiting else "",
        notes=_notes_of_all(plans),
        is_long=len(planned.sets) > MOST_OPEN_SETS,
    )


def _sheets(planned: PlannedEvent, address: str) -> tuple[tuple[str, str], ...]:
    """The sheets by name and address; music with the harmony where a tune has one."""
    named = [(name, f"{address}/{file}") for name, file in SHEETS]
    if any(each.tune.harmonies for each_set in planned.sets for each in each_set.entries):
        named.insert(2, ("Music with harmony", f"{address}/{SHEETS[1][1]}?harmony=true"))
    return tuple(named)


def _notes_of_all(plans: Sequence[TunePlan]) -> tuple[str, ...]:
    """What is true of the whole day is said once, not beside every tune."""
    found = (each for plan in plans for each in plan.warnings if each.code in SAID_ONCE)
    return tuple(dict.fromkeys(sentence(each.text) for each in found))


def times_of_day(clock: Clock) -> tuple[tuple[str, str], ...]:
    """The four times of the day, the clock empty where nobody has said."""
    named = (
        ("Meet", clock.meet),
        ("Tune-up", clock.tune_up),
        ("Step-off", clock.step_off),
        ("End", clock.end),
    )
    return tuple((name, clock_words(at)) for name, at in named)


def circumstance_words(setting: Setting) -> tuple[tuple[str, str], ...]:
    """What decides the licence besides the occasion, as (heading, words)."""
    control = setting.control
    rung = f"rung {control.rung}" if control.rung else "nobody has said; rung 4 is taken"
    if control.measured_sd_ms:
        rung += f", measured scatter {control.measured_sd_ms:g} ms"
    steps = [CIRCUMSTANCE_WORDS[each] for each in setting.circumstances]
    each = "it takes" if len(steps) == 1 else "each takes"
    down = f"{join_words(steps)}: {each} one level off" if steps else "none that holds us back"
    return (
        ("Drums", DRUM_WORDS[setting.drums]),
        ("Control of the beat", rung),
        ("Circumstances", down),
    )


def _order(planned: PlannedEvent) -> tuple[OrderItemView, ...]:
    sets = iter(planned.sets)
    slots = planned.timetable.slots if planned.timetable else ()
    return tuple(
        _set_item(slot, next(sets), planned, f"item-{place}")
        if slot.item.set_key
        else _words_item(slot)
        for place, slot in enumerate(slots, start=1)
    )


def _set_item(slot: Slot, played: PlannedSet, planned: PlannedEvent, anchor: str) -> OrderItemView:
    heard = f"/events/{planned.event.key}/sets/{played.set.key}/music.mid"
    return OrderItemView(
        music=heard if any(plan.tune.has_notes for plan in played.plans) else "",
        name=played.set.name,
        start=clock_words(slot.start),
        length=_slot_length(slot),
        number=str(played.set.number),
        address=f"/sets/{played.set.key}",
        facts=STRICTNESS[strictness_word(played.plans)] if played.plans else "",
        tunes=tuple(
            planned_tune_view(
                each.plan,
                each.entry,
                f"/events/{planned.event.key}",
                join_words([who.name for who in planned.line_up.who_is_out(each.entry.tune_key)]),
                harmony_words(planned, each.entry.tune_key),
                f"{anchor}-tune-{number}",
                own_bar_lines(each),
            )
            for number, each in enumerate(played.entries, start=1)
        ),
        gap=_gap(slot),
    )


def _words_item(slot: Slot) -> OrderItemView:
    return OrderItemView(slot.name, clock_words(slot.start), _slot_length(slot), gap=_gap(slot))


def _slot_length(slot: Slot) -> str:
    open_ended = ", then until the cue" if slot.is_open_ended else ""
    return f"{length_words(slot.seconds)}{open_ended}"


def _gap(slot: Slot) -> str:
    return f"then {length_words(slot.item.gap_after_s)} of rest" if slot.item.gap_after_s else ""


def harmony_words(planned: PlannedEvent, tune_key: str) -> str:
    """Who plays pipe harmony in a tune."""
    people = planned.line_up.people
    return join_words([p.name for p in people if (p.key, tune_key) in planned.line_up.harmony])


def _length(planned: PlannedEvent) -> str:
    timetable = planned.timetable
    if timetable is None or not timetable.slots:
        return ""
    more = " and until the cue" if timetable.is_open_ended else ""
    return f"{length_words(timetable.seconds)}{more}"


def _arrangements(told: Arrangements) -> tuple[tuple[str, str], ...]:
    named = (
        ("Stop signal", told.stop_signal),
        ("Place", told.place),
        ("Dress", told.dress),
        ("Transport", told.transport),
        ("Contact on site", told.contact),
        ("Wet plan", told.wet_plan),
        ("Hazards", told.hazards),
    )
    return tuple((name, words) for name, words in named if words)


def line_up_words(planned: PlannedEvent) -> str:
    """How many play which instrument."""
    names = {Instrument.PIPES: "piper", Instrument.SNARE: "snare drummer"}
    names |= {Instrument.TENOR: "tenor drummer", Instrument.BASS: "bass drummer"}
    counts = [(planned.line_up.count(each), names[each]) for each in Instrument]
    said = [counted(count, name) for count, name in counts if count]
    return sentence_start(sentence(join_words(said))) if said else "Nobody yet."
