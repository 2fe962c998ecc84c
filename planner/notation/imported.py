"""What tune does a MusicXML, MEI or MIDI file hold? The only door to music21.

music21 is slow to load and takes any file on trust, so it lives in a process of its own, with
limits on time and memory; XML is checked before it gets there. Its notes become written bars
like those of our own reader; what it drops is taken from the XML's head.
"""

from __future__ import annotations

import gc
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

from planner.errors import NotationError, WorkerError
from planner.findings import Gravity
from planner.music.drums import DrumScore
from planner.music.tempo import Metre, Tempo
from planner.music.tune import Part, Tune
from planner.notation.abc_values import read_metre
from planner.notation.compressed import unpacked_score
from planner.notation.drum_staff import drum_score_of
from planner.notation.formats import Format, format_of
from planner.notation.harmony import harmonies_of
from planner.notation.idioms import idiom_of, reel_idiom
from planner.notation.midi_file import Sound, midi_file_bytes
from planner.notation.midi_head import check_midi
from planner.notation.own_fields import (
    own_count,
    own_credits,
    own_metre,
    own_order,
    own_parts,
    own_phrase_starts,
    own_tempo,
)
from planner.notation.parts import make_parts
from planner.notation.readtune import ReadTune, Remarks
from planner.notation.score_bars import written_bars
from planner.notation.sharps import sharpen, sharps_of
from planner.notation.written import FREE_METRE
from planner.notation.xml_head import XmlHead, read_xml_head
from planner.workers import Worker

# What may a file cost? A graced score of 512 bars takes three seconds of processor and 130 MB.
PROCESSOR_LIMIT_S = 4.5
TIME_LIMIT_S = 30.0
MEMORY_LIMIT_MB = 300
SELDOM = 200_000
"""After how many new objects is it worth looking for circles of them?"""
LONG = 100
"""From how many bars on is a score let go of at once, so that several of them take no more room?"""
_FORMATS = {Format.MUSICXML: "musicxml", Format.MEI: "mei", Format.MIDI: "midi"}
_KEY_NAMES = {-3: "Eb", -2: "Bb", -1: "F", 1: "G", 3: "A", 4: "E"}


def read_imported(name: str, content: bytes, kind: Format) -> tuple[ReadTune, ...]:
    """The tunes of a file in one of the formats that music21 reads.

    Raises:
        NotationError: the file is broken, unsafe, holds no notes, or takes too long.
    """
    if kind is Format.COMPRESSED:
        content, kind = unpacked_score(name, content), Format.XML
    head = XmlHead(kind)
    if kind is Format.XML:
        head = read_xml_head(name, content)
    elif kind is Format.MIDI:
        check_midi(name, content)
    try:
        return _reader.call(read_and_let_go, name, content, head)
    except WorkerError as error:
        problem = "reading it took too much time or memory"
        raise NotationError(name, "", problem, "split it into single tunes") from error


def read_drum_score(name: str, content: bytes) -> DrumScore:
    """The drum score of a MusicXML file (plain or compressed), voice by voice.

    Raises:
        NotationError: it is no MusicXML, broken, unsafe, without drum notes, or takes too long.
    """
    kind = format_of(name, content)
    if kind is Format.COMPRESSED:
        content, kind = unpacked_score(name, content), Format.XML
    if kind is not Format.XML:
        remedy = "export the drum score as MusicXML"
        raise NotationError(name, "", "a drum score must be MusicXML", remedy)
    head = read_xml_head(name, content)
    try:
        return _reader.call(read_drum_staves, name, content, head)
    except WorkerError as error:
        problem = "reading it took too much time or memory"
        raise NotationError(name, "", problem, "split it into single tunes") from error


def read_drum_staves(name: str, content: bytes, head: XmlHead) -> DrumScore:
    """The drum score of a file, worked out in this process.

    Raises:
        NotationError: the file is broken or holds no strokes.
    """
    score = _parsed(name, content, head.kind)
    found = drum_score_of(score.parts, name)
    if not found.lines:
        raise NotationError(name, "", "it holds no drum notes", "give the drummers' score")
    return found


def write_midi(sounds: Sequence[Sound]) -> bytes:
    """A standard MIDI file of sounds in milliseconds: the played list, for hearing only."""
    return _reader.call(midi_bytes, tuple(sounds))


def midi_bytes(sounds: Sequence[Sound]) -> bytes:
    """``write_midi``, worked out in this process."""
    from music21 import midi  # noqa: PLC0415 - heavy, and this is its one door

    return midi_file_bytes(midi, sounds)


def load_music21() -> None:
    """Load the library once, before the first file waits for it.

    A score is a hundred thousand small objects that are all let go at once, so looking for circles
    among them while it is read only costs time.
    """
    import music21  # noqa: F401, PLC0415 - heavy, and this is its one door

    gc.freeze()
    gc.set_threshold(SELDOM, 3, 3)


_reader = Worker(
    "reader of music files",
    time_limit_s=TIME_LIMIT_S,
    processor_limit_s=PROCESSOR_LIMIT_S,
    memory_limit_mb=MEMORY_LIMIT_MB,
    warm_up=load_music21,
)


def read_and_let_go(name: str, content: bytes, head: XmlHead) -> tuple[ReadTune, ...]:
    """``read_score`` in its worker, which keeps nothing of a long score.

    Raises:
        NotationError: as ``read_score``.
    """
    read = read_score(name, content, head)
    if sum(len(part.bars) for each in read for part in each.tune.parts) > LONG:
        gc.collect()
    return read


def read_score(name: str, content: bytes, head: XmlHead) -> tuple[ReadTune, ...]:
    """The tune of a file, worked out in this process.

    Raises:
        NotationError: the file is broken or holds no notes.
    """
    score = _parsed(name, content, head.kind)
    remarks = Remarks()
    staff, others = _staves(name, score)
    first_metre = (read_metre(head.metre) if head.metre else None) or FREE_METRE
    bars = [bar for bar in written_bars(staff, remarks, first_metre) if bar.notes]
    inside = list(score.recurse())
    _refuse_lost_bars(inside, head, remarks)
    signature = sharps_of(inside)
    sharpen(bars, signature, remarks)
    _count_what_is_left_out(inside, remarks)
    parts = own_parts(head.own, bars)
    places: dict[int, str] = {}
    if parts is None:
        if "bars" in head.own:
            remarks.add("changed", "the file was changed by another program; it is read plainly")
        parts, places, _ = make_parts(bars, remarks)
    tune = _tune(name, score, head, parts, signature, remarks)
    tune = replace(tune, harmonies=tuple(harmonies_of(others, parts, first_metre, remarks)))
    if tune.tempo is None:
        tune = replace(tune, tempo=_tempo(staff, tune.metre))
    if head.kind is Format.MIDI:
        text = "MIDI holds no gracenotes, parts or repeats; look the tune through"
        remarks.add("midi", text)
    return (ReadTune(tune, remarks.findings(places)),)


def _parsed(name: str, content: bytes, kind: Format) -> Any:
    from music21 import converter  # noqa: PLC0415 - heavy, and this is its one door

    text: Any = content if kind is Format.MIDI else _text(content)
    try:
        return converter.parseData(text, format=_FORMATS[kind])
    except Exception as error:  # the library raises whatever it stumbles over
        problem = f"it cannot be read as {kind} ({type(error).__name__})"
        raise NotationError(name, "", problem, "export the tune again as MusicXML") from error


def _text(content: bytes) -> str:
    if content[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return content.decode("utf-16")
    return content.decode("utf-8-sig", errors="replace")


def _staves(name: str, score: Any) -> tuple[Any, list[Any]]:
    """The first staff with notes, which is the tune, and the others that have any."""
    staves = [score] if score.isStream and not list(score.parts) else list(score.parts)
    with_notes = [staff for staff in staves if next(iter(staff.recurse().notes), None) is not None]
    if not with_notes:
        raise NotationError(name, "", "it holds no notes", "give a file with the pipes' music")
    measured = [
        staff if list(staff.getElementsByClass("Measure")) else staff.makeMeasures()
        for staff in with_notes
    ]
    return measured[0], measured[1:]


def _refuse_lost_bars(inside: Sequence[Any], head: XmlHead, remarks: Remarks) -> None:
    """The library passes over parts of some MEI files in silence: count what came through."""
    lost = head.measures - sum("Measure" in element.classes for element in inside)
    if lost > 0:
        text = f"{lost} bars of this {head.kind} file cannot be read; export it as MusicXML"
        remarks.add("bars_lost", text, Gravity.REFUSE)


def _count_what_is_left_out(inside: Sequence[Any], remarks: Remarks) -> None:
    kinds = {"Slur": "slurs are", "Dynamic": "dynamics are", "TextExpression": "words are"}
    for element in inside:
        for class_name in kinds.keys() & set(element.classes):
            remarks.leave_out(kinds[class_name])
        if "NotRest" in element.classes:
            for _ in (*element.articulations, *element.expressions):
                remarks.leave_out("decorations are")


def _tune(
    name: str,
    score: Any,
    head: XmlHead,
    parts: tuple[Part, ...],
    sharps: int | None,
    remarks: Remarks,
) -> Tune:
    own = head.own
    rhythm = own.get("rhythm", "")
    is_ours = "bars" in own
    return Tune(
        title=_title(name, score, head, remarks),
        metre=own_metre(own) or (parts[0].bars[0].metre if parts else FREE_METRE),
        parts=parts,
        idiom=own.get("idiom") or (None if is_ours else _idiom(rhythm, parts, remarks)),
        tempo=own_tempo(own),
        credits=own_credits(head),
        rhythm=rhythm,
        key=own.get("key") or ("HP" if is_ours else _KEY_NAMES.get(sharps or 0, "HP")),
        phrase_bars=own_count(own, "phrase-bars"),
        line_bars=own_count(own, "line-bars"),
        order=own_order(own.get("order", ""), parts),
        phrase_starts=own_phrase_starts(own.get("phrase-starts", ""), parts),
    )


def _title(name: str, score: Any, head: XmlHead, remarks: Remarks) -> str:
    metadata = score.metadata
    title = head.title or (metadata.title if metadata is not None else "") or ""
    if title.strip():
        return " ".join(str(title).split())
    remarks.add("no_title", "the file gives the tune no title", Gravity.NOTE)
    return name.rpartition("/")[2].rpartition(".")[0] or "Untitled"


def _idiom(rhythm: str, parts: Iterable[Part], remarks: Remarks) -> str | None:
    idiom = idiom_of(rhythm)
    return reel_idiom(parts) if idiom == "reel" else idiom


def _tempo(staff: Any, metre: Metre) -> Tempo | None:
    for mark in staff.recurse().getElementsByClass("MetronomeMark"):
        if mark.number and not mark.numberImplicit:
            crotchets = mark.number * mark.referent.quarterLength
            return Tempo(float(crotchets) / float(metre.beat_length))
    return None
