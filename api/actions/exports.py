"""How does a tune leave the library, and how does it become another setting of itself?

A tune goes out as ABC or MusicXML, as it is written, or as a standard MIDI file, as it is played on
an occasion. Recast in another idiom it becomes a new tune of the library, kept as ABC text.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from api.actions.planning import plan_of_tune
from api.actions.reading import LibraryTune
from api.actions.records import BandId, Kept, NewFile, Session
from api.actions.tunes import ReadFile, keep_upload, one_tune
from planner.engraving.score import write_musicxml
from planner.errors import RequestError
from planner.event.event import Setting
from planner.marks.unrolled import sounds_of
from planner.music.tune import Tune
from planner.notation.imported import write_midi
from planner.notation.midi_file import Sound
from planner.notation.read import ReadTune
from planner.notation.write import write_abc
from planner.recast import recast

ABC, MUSICXML, MIDI = "text/vnd.abc", "application/vnd.recordare.musicxml+xml", "audio/midi"


def tune_as_abc(session: Session, band: BandId, number: int) -> NewFile:
    """A tune as ABC 2.1.

    Raises:
        NotFoundError, RequestError: there is no such tune, or it has no notes.
    """
    return _written(session, band, number, "abc", ABC, write_abc)


def tune_as_musicxml(session: Session, band: BandId, number: int) -> NewFile:
    """A tune as MusicXML 4.0.

    Raises:
        NotFoundError, RequestError: there is no such tune, or it has no notes.
    """
    return _written(session, band, number, "musicxml", MUSICXML, write_musicxml)


def tune_as_midi(session: Session, band: BandId, number: int, setting: Setting) -> NewFile:
    """A tune as it is played on an occasion, gracenotes and marks and all.

    Raises:
        NotFoundError, RequestError: there is no such tune, or it has no notes.
        WorkerError: writing it took too long.
    """
    tune = tune_with_notes(one_tune(session, band, number))
    plan = plan_of_tune(session, band, number, setting)
    sounds = [Sound(s.pitch, s.start_ms, s.end_ms) for s in sounds_of(plan.analysis, plan.heard)]
    name = f"{file_stem(tune.title)}-{setting.occasion}.mid"
    return NewFile(name, MIDI, write_midi(sounds))


def recast_tune(session: Session, band: BandId, number: int, idiom: str) -> Kept[LibraryTune]:
    """A new tune of the library: the same notes in another idiom.

    Raises:
        NotFoundError: there is no such tune.
        RequestError: it has no notes, or cannot be recast into this idiom.
    """
    kept = one_tune(session, band, number)
    again = recast(tune_with_notes(kept), idiom)
    text = write_abc(again).encode()
    file = NewFile(f"{file_stem(again.title)}-{file_stem(idiom)}.abc", ABC, text)
    read = ReadFile(file, ((1, ReadTune(again)),))
    record = kept.noun.record
    return keep_upload(session, band, read, record.tags, record.permission)[0]


def tune_with_notes(kept: Kept[LibraryTune]) -> Tune:
    """The music of a tune.

    Raises:
        RequestError: no notes are on file.
    """
    tune = kept.noun.tune
    if tune is None or not tune.has_notes:
        title = kept.noun.record.title
        raise RequestError("tune", f"“{title}” has no notes on file", "upload its music first")
    return tune


def file_stem(title: str) -> str:
    """A title as the name of a file: plain letters, figures and hyphens."""
    return re.sub(r"[^a-z0-9]+", "-", title.casefold()).strip("-") or "tune"


def _written(
    session: Session,
    band: BandId,
    number: int,
    ending: str,
    media_type: str,
    write: Callable[[Tune], str],
) -> NewFile:
    tune = tune_with_notes(one_tune(session, band, number))
    return NewFile(f"{file_stem(tune.title)}.{ending}", media_type, write(tune).encode())
