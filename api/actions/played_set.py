"""How does a whole set of an event sound, from its introduction to its last note?"""

from __future__ import annotations

from dataclasses import replace

from api.actions.exports import MIDI, file_stem
from api.actions.planning import EventPlan, plan_of_event
from api.display.planned import PlannedEntry, PlannedSet
from api.storage.database import BandId, Session
from api.storage.faults import NotFoundError
from api.storage.records import NewFile
from planner.errors import RequestError
from planner.event.played_parts import in_turn
from planner.event.timetable import introduction_beats, rolls_before
from planner.music.tune import Tune
from planner.notation.imported import write_midi
from planner.notation.midi_file import Sound
from planner.played_set import Piece, PlayedSet, play_set


def played_set(session: Session, band: BandId, number: int, set_key: str) -> PlayedSet:
    """Every note of a set as an event plays it; what lasts until the cue is played once.

    Raises:
        NotFoundError: the band has no such event, or the event no such set.
        RequestError: a tune has no music to plan.
    """
    plan = plan_of_event(session, band, number)
    return _played(plan, _set_of(plan, number, set_key))


def set_as_midi(session: Session, band: BandId, number: int, set_key: str) -> NewFile:
    """The same as a standard MIDI file, gracenotes and marks and all.

    Raises:
        NotFoundError: the band has no such event, or the event no such set.
        RequestError: a tune has no music to plan, or no tune of the set has notes.
        WorkerError: writing it took too long.
    """
    plan = plan_of_event(session, band, number)
    found = _set_of(plan, number, set_key)
    sounds = [Sound(s.pitch, s.start_ms, s.end_ms) for s in _played(plan, found).sounds]
    if not sounds:
        name = found.set.name
        raise RequestError("set", f"“{name}” has no notes on file", "upload the music of its tunes")
    return NewFile(f"{file_stem(found.set.name)}.mid", MIDI, write_midi(sounds))


def _set_of(plan: EventPlan, number: int, set_key: str) -> PlannedSet:
    for each in plan.planned.sets:
        if each.set.key == set_key:
            return each
    raise NotFoundError(f"set in event {number} with the number", set_key)


def _played(plan: EventPlan, planned: PlannedSet) -> PlayedSet:
    if not planned.entries:
        return play_set(())
    pieces = [_piece(each, plan.shelf.tunes[each.entry.tune_key].tune) for each in planned.entries]
    for place, following in enumerate(planned.entries[1:]):
        beats = rolls_before(following.entry, plan.shelf.rulebook)
        rolls_ms = float(beats) * following.plan.analysis.tempo.beat_ms
        pieces[place] = replace(pieces[place], pause_ms=pieces[place].pause_ms + rolls_ms)
    first = planned.entries[0].plan.analysis.tempo
    beats = introduction_beats(planned.set, plan.shelf.rulebook, plan.planned.event.setting)
    return play_set(pieces * max(1, planned.set.times_through), float(beats) * first.beat_ms)


def _piece(planned: PlannedEntry, written: Tune | None) -> Piece:
    entry = planned.entry
    earlier = in_turn(entry, written or planned.plan.tune).passes()
    return Piece(
        key=entry.tune_key,
        plan=planned.plan,
        times=entry.times_through,
        earlier=tuple((part.number, number) for part, number in earlier),
        link=planned.link,
        pause_ms=1000.0 * float(entry.pause_after_s),
    )
