"""How does a stored event become the engine's nouns, and back?

``event``, ``event_record`` (with the line-up), ``hand_mark``, ``settled``; ``write_event`` and
``write_line_up`` fill a row in place. Nothing here asks the database.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict
from fractions import Fraction
from typing import TypeVar

from api.storage import convert
from api.storage.event_tables import (
    AgreementRow,
    EventRow,
    HandMarkRow,
    HarmonyRow,
    ItemRow,
    LineUpRow,
    OutRow,
)
from api.storage.records import Answer, EventRecord, HandMark, Place, Settled
from planner.event.event import (
    Arrangements,
    Circumstance,
    Clock,
    Control,
    Drums,
    Event,
    Item,
    LineUp,
    Loudness,
    Occasion,
    Setting,
    Sort,
)
from planner.event.route import Route, RoutePlace, RouteStretch, Slope, Wanted
from planner.music.tune import Address

YES = "yes"


def event_record(row: EventRow) -> EventRecord:
    """An event with its line-up: those who said yes, with everybody's answer beside."""
    return EventRecord(
        event=event(row),
        line_up=LineUp(
            people=tuple(convert.person(a.person) for a in row.line_up if a.answer == YES),
            outs=frozenset((str(out.person_id), str(out.tune_id)) for out in row.outs),
            harmony=frozenset((str(part.person_id), str(part.tune_id)) for part in row.harmony),
        ),
        answers=tuple(Answer(str(a.person_id), a.answer) for a in row.line_up),
    )


def event(row: EventRow) -> Event:
    """An event with its running order."""
    return Event(
        key=str(row.id),
        name=row.name,
        setting=_setting(row),
        day=row.day,
        clock=Clock(row.meet, row.tune_up, row.step_off, row.end),
        items=tuple(planned_item(item) for item in row.items),
        route=_route(row),
        arrangements=_arrangements(row),
        version=row.version,
        loudness=_loudness(row),
        answers_by=row.answers_by,
    )


def _setting(row: EventRow) -> Setting:
    return Setting(
        occasion=Occasion(row.occasion),
        sort=Sort(row.sort),
        drums=Drums(row.drums),
        control=Control(row.rung, row.measured_sd_ms),
        circumstances=tuple(Circumstance(word) for word in row.circumstances),
    )


def planned_item(row: ItemRow) -> Item:
    """One item of the running order."""
    set_key = "" if row.set_id is None else str(row.set_id)
    return Item(set_key, row.text, row.seconds, row.gap_after_s, row.start)


def _route(row: EventRow) -> Route | None:
    if row.route_length_m is None or row.pace_m is None or row.steps_per_minute is None:
        return None
    return Route(
        length_m=row.route_length_m,
        pace_m=row.pace_m,
        steps_per_minute=row.steps_per_minute,
        asked_m_per_minute=row.asked_m_per_minute,
        column_m=row.column_m,
        stretches=tuple(
            RouteStretch(**{**told, "slope": Slope(told["slope"])}) for told in row.route_stretches
        ),
        places=tuple(
            RoutePlace(**{**told, "wanted": Wanted(told["wanted"])}) for told in row.route_places
        ),
    )


def _loudness(row: EventRow) -> Loudness | None:
    level = row.sound_level_dba
    return None if level is None else Loudness(level, row.sound_where)


def _arrangements(row: EventRow) -> Arrangements:
    return Arrangements(
        place=row.place,
        dress=row.dress,
        transport=row.transport,
        contact=row.contact,
        wet_plan=row.wet_plan,
        hazards=row.hazards,
        stop_signal=row.stop_signal,
    )


def write_event(row: EventRow, planned: Event) -> None:
    """Put an event into its row; the running order is written anew, the version is not touched."""
    row.name, row.day = planned.name, planned.day
    _write_setting(row, planned.setting)
    clock, words = planned.clock, planned.arrangements
    row.meet, row.tune_up, row.step_off, row.end = (
        clock.meet, clock.tune_up, clock.step_off, clock.end,
    )  # fmt: skip
    row.place, row.dress, row.transport = words.place, words.dress, words.transport
    row.contact, row.wet_plan, row.hazards = words.contact, words.wet_plan, words.hazards
    row.stop_signal = words.stop_signal
    _write_route(row, planned.route)
    loudness = planned.loudness
    row.sound_level_dba = loudness.level_dba if loudness else None
    row.sound_where = loudness.where if loudness else ""
    row.answers_by = planned.answers_by
    row.items = [
        ItemRow(
            band_id=row.band_id,
            position=position,
            set_id=int(item.set_key) if item.set_key else None,
            text=item.text,
            seconds=item.seconds,
            gap_after_s=item.gap_after_s,
            start=item.start,
        )
        for position, item in enumerate(planned.items)
    ]


def _write_setting(row: EventRow, setting: Setting) -> None:
    row.occasion, row.sort = setting.occasion.value, setting.sort.value
    row.drums = setting.drums.value
    row.rung, row.measured_sd_ms = setting.control.rung, setting.control.measured_sd_ms
    row.circumstances = [circumstance.value for circumstance in setting.circumstances]


def _write_route(row: EventRow, route: Route | None) -> None:
    row.route_length_m = route.length_m if route else None
    row.pace_m = route.pace_m if route else None
    row.steps_per_minute = route.steps_per_minute if route else None
    row.asked_m_per_minute = route.asked_m_per_minute if route else None
    row.column_m = route.column_m if route else None
    row.route_stretches = [asdict(stretch) for stretch in route.stretches] if route else []
    row.route_places = [asdict(place) for place in route.places] if route else []


Pairs = Iterable[tuple[str, str]]
"""(person key, tune key)."""


def write_line_up(row: EventRow, answers: Iterable[Answer], outs: Pairs, harmony: Pairs) -> None:
    """Put answers, outs and pipe harmony into an event's row; what is unchanged stays put."""
    wanted = {int(answer.person_key): answer.answer for answer in answers}
    staying = {line.person_id: line for line in row.line_up if line.person_id in wanted}
    for person_id, line in staying.items():
        line.answer = wanted[person_id]
    row.line_up = list(staying.values()) + [
        LineUpRow(band_id=row.band_id, person_id=person_id, answer=answer)
        for person_id, answer in wanted.items()
        if person_id not in staying
    ]
    row.outs = _pairs(row, OutRow, row.outs, outs)
    row.harmony = _pairs(row, HarmonyRow, row.harmony, harmony)


PairRow = TypeVar("PairRow", OutRow, HarmonyRow)


def _pairs(
    row: EventRow, kind: type[PairRow], present: list[PairRow], pairs: Pairs
) -> list[PairRow]:
    wanted = {(int(person), int(tune)) for person, tune in pairs}
    staying = [line for line in present if (line.person_id, line.tune_id) in wanted]
    new = wanted - {(line.person_id, line.tune_id) for line in staying}
    return staying + [
        kind(band_id=row.band_id, person_id=person, tune_id=tune) for person, tune in sorted(new)
    ]


def hand_mark(row: HandMarkRow) -> HandMark:
    """A mark a person locked or forbade."""
    return HandMark(
        tune_key=str(row.tune_id),
        place=Place(row.part, row.bar, row.ending, row.note_index),
        will=row.will,
        occasion=Occasion(row.occasion),
        sort=Sort(row.sort),
        event_key="" if row.event_id is None else str(row.event_id),
        move=row.move,
        ms=row.ms,
        set_by=row.set_by,
    )


def settled(row: AgreementRow) -> Settled:
    """What pipes and drums settled on one mark."""
    return Settled(
        tune_key=str(row.tune_id),
        address=Address(row.part, row.bar, row.ending, Fraction(row.beat)),
        move=row.move,
        ms=row.ms,
        tempo_bpm=row.tempo_bpm,
        is_agreed=row.is_agreed,
        who=row.who,
        occasion=Occasion(row.occasion),
        sort=Sort(row.sort),
        event_key="" if row.event_id is None else str(row.event_id),
        agreed_at=row.agreed_at,
        remark=row.remark,
        music=row.music,
    )
