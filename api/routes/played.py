"""A whole set of an event as it sounds: every note with its time, and as MIDI."""

from __future__ import annotations

from fastapi import Response

from api.actions import played_set as act
from api.dependencies import BandDep, SessionDep
from api.routes.form import Answer, RowNumber
from api.routes.later import LaterRouter
from planner.played_set import NoteInSet, PlayedSet

router = LaterRouter(prefix="/events/{number}/sets/{a_set}", tags=["plans"])
file_router = LaterRouter(
    prefix="/events/{number}/sets/{a_set}", tags=["plans"], default_response_class=Response
)


class TuneInSetAnswer(Answer):
    """Where a tune of the set starts, and the tempo from there in felt beats a minute."""

    entry: int
    tune_key: str
    start_ms: float
    tempo_bpm: float


class NoteInSetAnswer(Answer):
    """One note as heard; ``time_through`` is 0 in a link, ``time`` is which time through a part."""

    entry: int
    time_through: int
    part: int
    time: int
    bar: int
    ending: int
    beat: float
    note: str
    movement_start_ms: float
    sounding_ms: float
    end_ms: float


class PlayedSetAnswer(Answer):
    """A set from the start of its introduction; times in milliseconds."""

    length_ms: float
    tunes: list[TuneInSetAnswer]
    notes: list[NoteInSetAnswer]


@router.get("/played")
def get_played_set(
    number: RowNumber, a_set: RowNumber, session: SessionDep, band: BandDep
) -> PlayedSetAnswer:
    """Every note of a set as an event plays it, through joins, links and changes of tempo."""
    return _answer(act.played_set(session, band, number, str(a_set)))


@file_router.get("/music.mid")
def get_set_midi(
    number: RowNumber, a_set: RowNumber, session: SessionDep, band: BandDep
) -> Response:
    """A set as a standard MIDI file, as an event plays it."""
    file = act.set_as_midi(session, band, number, str(a_set))
    headers = {"Content-Disposition": f'attachment; filename="{file.name}"'}
    return Response(file.content, media_type=file.media_type, headers=headers)


def _answer(played: PlayedSet) -> PlayedSetAnswer:
    return PlayedSetAnswer(
        length_ms=played.length_ms,
        tunes=[
            TuneInSetAnswer(
                entry=each.entry,
                tune_key=each.key,
                start_ms=each.start_ms,
                tempo_bpm=each.tempo_bpm,
            )
            for each in played.tunes
        ],
        notes=[_note(each) for each in played.notes],
    )


def _note(note: NoteInSet) -> NoteInSetAnswer:
    heard, at = note.heard, note.heard.place.address
    return NoteInSetAnswer(
        entry=note.entry,
        time_through=note.time_through,
        part=at.part,
        time=heard.pass_number,
        bar=at.bar,
        ending=at.ending,
        beat=float(at.beat),
        note=heard.place.note,
        movement_start_ms=heard.movement_start_ms,
        sounding_ms=heard.sounding_ms,
        end_ms=heard.end_ms,
    )
